import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { tables } from '../../server/domain/plan/csv.ts'
import { policy } from '../../server/domain/plan/policy.ts'
import { ruleWords, thresholdWords } from '../../server/domain/plan/policyWords.ts'
import { settingsTable } from '../../server/settingsTable.ts'
import { root } from './sources.ts'

const readme = readFileSync(join(root, 'README.md'), 'utf8')
const row = (first: string) => readme.split('\n').find(line => line.startsWith(`| \`${first}\``)) ?? ''

describe('README', () => {
  it('gives every setting that has one its standard value', () => {
    for (const { name, standard } of settingsTable)
      if (standard !== null) expect(row(name), name).toContain(`| ${standard} |`)
  })

  it('names every column of every file of a plan', () => {
    for (const { file, columns } of Object.values(tables))
      for (const column of Object.keys(columns))
        expect(row(file), `${file} ${column}`).toContain(`\`${column}\``)
  })

  it('gives every threshold of the policy, and every reason’s tier, delay and hold, as they are', () => {
    const { rules, ...thresholds } = policy.parse({})
    for (const [name, value] of Object.entries(thresholds)) {
      const lines =
        typeof value === 'object'
          ? Object.entries(value).map(([n, v]) => [`${name}.${n}`, v])
          : [[name, value]]
      for (const [path, standard] of lines)
        expect(row(String(path)), String(path)).toContain(
          `| ${typeof standard === 'boolean' ? (standard ? 'yes' : 'no') : standard} |`,
        )
    }
    for (const [name, { tier, delayMinutes, holdMinutes }] of Object.entries(rules))
      expect(row(name), name).toContain(`| ${tier} | ${delayMinutes} | ${holdMinutes} |`)
  })

  it('explains thresholds and reasons in the words of the setup page, with the source where one was published', () => {
    for (const [path, { words, source }] of Object.entries(thresholdWords))
      expect(row(path), path).toContain(`| ${words}${source === 'assumption' ? '' : ` (${source})`} |`)
    for (const [rule, words] of Object.entries(ruleWords)) expect(row(rule), rule).toContain(`| ${words} |`)
  })

  it('names tests that are there and carry the promise that they are named for', () => {
    const promises = [...readme.matchAll(/^\| (P\d+) \| .* \| `(tests\/[^`]+)` \|$/gm)]
    expect(promises.length).toBeGreaterThanOrEqual(9)
    for (const [, promise, file] of promises)
      expect(readFileSync(join(root, file!), 'utf8'), file).toMatch(new RegExp(`\\b${promise}\\b`))
  })
})
