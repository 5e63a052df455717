import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { settingsTable } from '../../server/settingsTable.ts'
import { allSources, blank, hits, root, type Source } from './sources.ts'

const sources = allSources()
const within = (...folders: string[]) =>
  sources.filter(({ path }) => folders.some(folder => path.startsWith(folder)))
const outside = (list: Source[], ...folders: string[]) =>
  list.filter(({ path }) => !folders.some(folder => path.startsWith(folder)))

/** Each word with what it would make impossible. */
const impure: Array<[RegExp, string]> = [
  [
    /\bDate\.now\b|\bnew Date\(\s*\)|\bperformance\b|\bhrtime\b/,
    'a clock: time is an argument, or a replay shows something else',
  ],
  [/\bMath\.random\b|\bcrypto\b|\brandomUUID\b/, 'chance: the same log must give the same state everywhere'],
  [
    /\bset(Timeout|Interval|Immediate)\b|\bqueueMicrotask\b/,
    'a timer: the domain predicts instants, others wait for them',
  ],
  [
    /\bprocess\.|\bglobalThis\b|\bwindow\.|\blocalStorage\b/,
    'its surroundings: the same code runs in server, browser and tests',
  ],
  [/\bfetch\(|\bconsole\.|\brequire\(/, 'input or output'],
]

describe('house rules', () => {
  it('domain and protocol know no clock, no chance, no timers, no process and no IO', () => {
    const pure = within('server/domain/', 'server/protocol/')
    expect(pure.length).toBeGreaterThan(20)
    expect(impure.flatMap(([pattern, why]) => hits(pure, pattern, why))).toEqual([])
  })

  it('rule of purity sees what it should (the rule can fail)', () => {
    const caught = (line: string) => impure.some(([pattern]) => pattern.test(blank(line)))
    for (const line of [
      'const at = Date.now()',
      'new Date()',
      'Math.random() < 1',
      'setTimeout(f, 1)',
      'process.pid',
      'fetch(url)',
    ])
      expect(caught(line), line).toBe(true)
    for (const line of [
      'new Date(at).toISOString()',
      '// Date.now() is not known here',
      "const title = 'process.pid'",
    ])
      expect(caught(line), line).toBe(false)
  })

  it('there are no barrels: each concept is imported from the file that is named for it', () => {
    expect(sources.map(({ path }) => path).filter(path => /(^|\/)index\.\w+$/.test(path))).toEqual([])
    const only = sources.filter(
      ({ code }) =>
        code.trim() !== '' && code.split('\n').every(line => /^\s*(export\s.*\bfrom\b.*)?\s*$/.test(line)),
    )
    expect(only.map(({ path }) => path)).toEqual([])
  })

  it('nothing is left over: no marks of unfinished work, no focused or skipped tests, no debugging', () => {
    const marks = new RegExp(
      `\\b(${['TO', 'FIX', 'HA', 'XX'].map((start, i) => start + ['DO', 'ME', 'CK', 'X'][i]).join('|')})\\b`,
    )
    expect(hits(sources, marks, 'unfinished work belongs in an issue', 'text')).toEqual([])
    const tests = outside(within('tests/'), 'tests/house/')
    const skipped = /\b(it|test|describe)(\.\w+)*\.(only|skip|todo|fixme|skipIf|runIf)\b|\bx(it|describe)\(/
    expect(hits(tests, skipped, 'every test runs, always')).toEqual([])
    expect(hits(sources, /\bdebugger\b/, 'left from debugging')).toEqual([])
    expect(
      hits(
        outside(within('server/', 'db/', 'app/'), 'server/cli/'),
        /\bconsole\./,
        'the log is server/log.ts',
      ),
    ).toEqual([])
    expect(
      hits(
        sources,
        /@ts-ignore|@ts-nocheck|@ts-expect-error/,
        'types are mended, not silenced',
        'text',
      ).filter(hit => !hit.startsWith('tests/house/')),
    ).toEqual([])
  })

  it('no file outside the tests is longer than 300 lines: it holds more than one concept', () => {
    const long = outside(sources, 'tests/')
      .map(({ path, text }) => ({ path, lines: text.trimEnd().split('\n').length }))
      .filter(({ lines }) => lines > 300)
    expect(long.map(({ path, lines }) => `${path}: ${lines} lines`)).toEqual([])
  })

  it('only settings read the environment and the command line', () => {
    const others = sources.filter(({ path }) => {
      const isSetUp = /^server\/cli\/(boot\/|run\w+\.mjs$)|^[^/]+\.config\.\w+$/.test(path)
      return path !== 'server/settings.ts' && !isSetUp && !path.startsWith('tests/')
    })
    // A whole environment handed on to a program that is started reads no setting.
    expect(
      hits(others, /(?<!\.\.\.)\bprocess\.(env|argv)\b/, 'settings come from server/settings.ts'),
    ).toEqual([])
  })

  it('every promise that is kept stands in the title of a test', () => {
    const titles = within('tests/').flatMap(({ text }) =>
      [...text.matchAll(/\b(?:it|test|describe)(?:\.\w+(?:\([^)]*\))?)*\(\s*(['"`])([\s\S]*?)\1/g)].map(
        match => match[2]!,
      ),
    )
    expect(titles.length).toBeGreaterThan(100)
    const kept = ['P1', 'P2', 'P3', 'P4', 'P5', 'P6', 'P7', 'P8', 'P9', 'P10', 'P11', 'P12', 'P13', 'P14']
    const without = kept.filter(promise => !titles.some(title => new RegExp(`\\b${promise}\\b`).test(title)))
    expect(without.map(promise => `${promise} is proved by no test`)).toEqual([])
  })

  it('every package we depend on is imported, or named in DEVELOPERS.md as a tool', () => {
    const { dependencies, devDependencies } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'))
    const guide = readFileSync(join(root, 'DEVELOPERS.md'), 'utf8')
    const texts = outside(sources, 'tests/house/').map(({ text }) => text)
    const isNamed = (name: string) =>
      texts.some(text =>
        ["'", '"'].some(q => text.includes(`${q}${name}${q}`) || text.includes(`${q}${name}/`)),
      )
    const unused = Object.keys({ ...dependencies, ...devDependencies }).filter(name => {
      const typed = name.replace(/^@types\//, '')
      return typed !== 'node' && !isNamed(typed) && !guide.includes(`\`${name}\``)
    })
    expect(unused.map(name => `${name} is imported nowhere`)).toEqual([])
  })

  it('a production install holds no tool: nothing that is only for us counts as production’s in the lockfile', () => {
    const { devDependencies } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'))
    const { packages } = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8'))
    // engine.io lists these two as its own.
    const listedByOthers = ['@types/node', '@types/ws']
    const kept = Object.keys(devDependencies).filter(name => packages[`node_modules/${name}`]?.dev !== true)
    expect(kept.filter(name => !listedByOthers.includes(name))).toEqual([])
  })

  it('every package that is imported stands in package.json', () => {
    const { dependencies, devDependencies } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'))
    const known = new Set(Object.keys({ ...dependencies, ...devDependencies }))
    const nameOf = (from: string) =>
      from
        .split('/')
        .slice(0, from.startsWith('@') ? 2 : 1)
        .join('/')
    const isOurs = (from: string) =>
      /^(node:|app\/|server\/|db\/|seed\/|tests\/|public\/|dist\/)/.test(from) || /\.(mjs|ts|css)$/.test(from)
    const strange = sources.flatMap(({ path, imports }) =>
      imports
        .filter(({ from }) => !isOurs(from) && !known.has(nameOf(from)))
        .map(({ from }) => `${path} imports ${from}`),
    )
    expect(strange).toEqual([])
    const needed = outside(sources, 'tests/').flatMap(({ path, imports }) =>
      /^(server|db|app|seed)\//.test(path)
        ? imports.filter(({ typeOnly }) => !typeOnly).map(({ from }) => [path, from] as const)
        : [],
    )
    const onlyForTests = needed.filter(
      ([path, from]) => !isOurs(from) && !path.includes('/boot/') && !(nameOf(from) in dependencies),
    )
    expect(onlyForTests.map(([path, from]) => `${path} imports ${from}, which is a devDependency`)).toEqual(
      [],
    )
  })

  it('README names every setting', () => {
    const readme = readFileSync(join(root, 'README.md'), 'utf8')
    expect(settingsTable.map(({ name }) => name).filter(name => !readme.includes(`\`${name}\``))).toEqual([])
  })
})
