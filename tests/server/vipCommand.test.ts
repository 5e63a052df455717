import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeEach, describe, expect, it } from 'vitest'
import { planHash, readPlanFolder } from '../../server/cli/planFiles.ts'
import { planImportVip, vipWords } from '../../server/cli/vip.ts'
import { faultLine } from '../../server/domain/plan/checkFault.ts'
import type { Plan } from '../../server/domain/plan/plan.ts'
import { location, precinct, root, smallElements } from '../support/aFeed.ts'

const folder = mkdtempSync(join(tmpdir(), 'vip-command-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))
const file = join(folder, 'feed.xml')
writeFileSync(file, root(smallElements()))

let out: string[] = []
let err: string[] = []
let kept: Plan[] = []
beforeEach(() => {
  out = []
  err = []
  kept = []
})
const run = async (...words: string[]) => {
  const read = vipWords(words)
  if ('lines' in read) throw new Error(read.lines.join('\n'))
  return planImportVip(
    read,
    { out: line => out.push(line), complain: line => err.push(line) },
    async plan => {
      kept.push(plan)
      return 0
    },
  )
}
const folderOf = (name: string) => {
  const read = readPlanFolder(join(folder, name))
  if ('faults' in read) throw new Error(read.faults.map(faultLine).join('\n'))
  return read.plan
}

describe('plan import --vip FILE', () => {
  it('alone prints plan and assumptions, imports nothing and ends with code 3', async () => {
    expect(await run('--vip', file)).toBe(3)
    expect(kept).toEqual([])
    expect(out[0]).toMatch(/^Ellery County: General election, practice day \(practice\), 2026-11-03/)
    const text = out.join('\n')
    expect(text).toMatch(/- splits \(1 precinct\): .*\. Change it in precincts\.csv\.\n {4}Harbor/)
    expect(text).toMatch(/- seals \(3 precincts\)/)
    expect(text).toMatch(/Nothing was imported: \d+ assumptions wait/)
    expect(text).toContain('--to DIR')
    expect(text).toContain('--confirm')
  })

  it('with --confirm imports the plan that it shows', async () => {
    expect(await run('--vip', file, '--confirm')).toBe(0)
    expect(kept.map(p => p.precincts.length)).toEqual([3])
    expect(out.find(l => l.startsWith('hash '))).toBe(`hash ${planHash(kept[0]!)}`)
  })

  it('with --to writes a folder that is read back as the very same plan, with its assumptions', async () => {
    expect(await run('--vip', file, '--to', join(folder, 'new', 'plan'))).toBe(0)
    expect(await run('--vip', file, '--confirm')).toBe(0)
    expect(planHash(folderOf('new/plan'))).toBe(planHash(kept[0]!))
    expect(readdirSync(join(folder, 'new', 'plan')).sort()).toEqual(
      [
        'ASSUMPTIONS.md',
        'contacts.csv',
        'equipment.csv',
        'places.csv',
        'plan.json',
        'precincts.csv',
        'profile.csv',
        'rovers.csv',
        'seals.csv',
        'steps.csv',
      ].sort(),
    )
    const page = readFileSync(join(folder, 'new', 'plan', 'ASSUMPTIONS.md'), 'utf8')
    expect(page).toContain('| splits | 1 |')
    expect(page).toContain('**splits**: Harbor')
    expect(page).toContain('your counsel')
  })

  it('never overwrites: a folder that holds anything is refused and left as it is', async () => {
    const there = join(folder, 'there')
    mkdirSync(there)
    expect(await run('--vip', file, '--to', there)).toBe(0)
    const before = readFileSync(join(there, 'precincts.csv'), 'utf8')
    expect(await run('--vip', file, '--to', there, '--kind', 'election')).toBe(1)
    expect(err.join()).toMatch(/there is not empty: nothing was written/)
    expect(readFileSync(join(there, 'precincts.csv'), 'utf8')).toBe(before)
    expect(await run('--vip', file, '--to', file)).toBe(1)
    expect(err.at(-1)).toMatch(/can't be written|is not empty/)
  })

  it('quotes what needs it, so that commas, quotes and odd names survive', async () => {
    const odd = join(folder, 'odd.xml')
    const name = 'Hall "A", left; <right>'
    writeFileSync(
      odd,
      root([
        ...smallElements(),
        location('l9', { Name: name }),
        precinct('p9', { Name: name, PollingLocationIds: 'l9' }),
      ]),
    )
    expect(await run('--vip', odd, '--to', join(folder, 'odd'))).toBe(0)
    expect(folderOf('odd').precincts.map(p => p.name)).toContain(name)
  })

  it('refuses with code 1 and one line that names the file', async () => {
    const broken = join(folder, 'broken.xml')
    writeFileSync(broken, root(smallElements()).slice(0, -30))
    expect(await run('--vip', broken)).toBe(1)
    expect(err).toHaveLength(1)
    expect(err[0]).toMatch(/broken\.xml: line \d+, column \d+: not well-formed XML.*nothing was imported\.$/)
    expect(out).toEqual([])
    expect(await run('--vip', file, '--locality', 'Nowhere')).toBe(1)
    expect(err[1]).toMatch(/feed\.xml: the feed has no locality "Nowhere"/)
  })
})

describe('words after plan import --vip', () => {
  const bad: Array<[string[], RegExp]> = [
    [['--vip'], /--vip needs a value/],
    [['--vip', 'f', '--kind', 'general'], /--kind is practice or election/],
    [['--vip', 'f', '--date', '3.11.2026'], /--date is a date as YYYY-MM-DD/],
    [['--vip', 'f', '--date=2026-02-30'], /--date is a date/],
    [['--vip', 'f', '--zone', 'Eastern'], /--zone is a time zone of the IANA database/],
    [['--vip', 'f', '--to', 'd', '--confirm'], /choose one/],
    [['--vip', 'f', '--county', 'x'], /--county is no option here\. Known: --vip, --to/],
    [['--vip', 'f', 'dir'], /"dir" is one word too many/],
    [['--vip', 'f', '--vip', 'g'], /--vip is given twice/],
    [['--vip', 'f', '--locality', '--confirm'], /--locality needs a value/],
    [['--confirm'], /--vip needs the file/],
  ]
  it.each(bad)('%j are named', (words, message) => {
    const read = vipWords(words)
    expect('lines' in read ? read.lines.join('\n') : 'fine').toMatch(message)
  })

  it('are read in any order, with or without =', () => {
    expect(
      vipWords([
        '--zone=America/Chicago',
        '--confirm',
        '--vip=f',
        '--kind',
        'election',
        '--date',
        '2026-11-03',
        '--locality',
        'New Sorrel',
      ]),
    ).toEqual({
      file: 'f',
      to: null,
      confirm: true,
      options: { kind: 'election', locality: 'New Sorrel', date: '2026-11-03', zone: 'America/Chicago' },
    })
  })
})
