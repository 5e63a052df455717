import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { keysOf } from '../../seed/simulator/keys.ts'
import { type Played, play } from '../../seed/simulator/play.ts'
import { practiceDay } from '../../seed/simulator/script.ts'
import { clockOf, cutOff } from '../../seed/simulator/troubles.ts'
import { readPlanFolder } from '../../server/cli/planFiles.ts'
import { MINUTE, SECOND } from '../../server/domain/time.ts'
import { STILL } from '../../server/live/clock.ts'
import { type Office, openOffice } from './simulatorOffice.ts'

const root = join(import.meta.dirname, '../..')
const plan = (() => {
  const read = readPlanFolder(join(root, 'seed/ellery'))
  if (!('plan' in read)) throw new Error('not a plan')
  return read.plan
})()
const at = clockOf(plan)
const script = practiceDay(plan, 7)
const codes = [...script.precincts.keys()]
const keys = new Map(codes.map(c => [c, c]))
const dueBy = (code: string, when: number) => script.precincts.get(code)!.facts.filter(f => f.at <= when)

let office: Office
let played: Played | null = null
let told: Array<Record<string, unknown>> = []
const begin = (tablets = keys) => {
  played = play({
    plan,
    day: script,
    url: office.url,
    keys: tablets,
    tell: line => 'settled' in line || told.push(line),
  })
}
const until = async (what: () => boolean, ms = 8_000) => {
  const end = Date.now() + ms
  while (!what()) {
    if (Date.now() > end) throw new Error(`not in ${ms} ms: ${what}; told ${JSON.stringify(told.slice(-5))}`)
    await new Promise(resolve => setTimeout(resolve, 10))
  }
}
const dayReaches = (hhmm: string) => until(() => office.clock.now() >= at(hhmm))

beforeEach(() => {
  told = []
})
afterEach(async () => {
  played?.stop()
  played = null
  await office.close()
})

/** Every report is the script's, in its order, once, and dated as it happened: within a second of wall time. */
function expectScript(speed: number) {
  let n = 0
  for (const [code, kept] of office.reports)
    for (const report of kept) {
      const fact = script.precincts.get(code)!.facts[report.number - 1]!
      expect(report.kind).toBe(fact.kind)
      expect([code, report.number, Math.abs(report.happenedAt - fact.at) <= speed * SECOND]).toEqual([
        code,
        report.number,
        true,
      ])
      n++
    }
  expect(office.gaps).toEqual([])
  expect(office.reused).toEqual([])
  return n
}

describe('the simulator on the device link', () => {
  it('catches up with a day that is under way, dating everything as it happened, and says so', async () => {
    office = await openOffice(at('09:08'), 60)
    begin()
    await until(() => told.some(line => line.caughtUp !== undefined))
    expect(told[0]).toEqual({ caughtUp: expect.stringMatching(/^09:[01]\d$/) })
    await until(() => told.some(line => line.played !== undefined), 12_000)
    for (const code of codes)
      expect(office.reports.get(code)!.length).toBeGreaterThanOrEqual(dueBy(code, at('09:08')).length)
    expect(expectScript(60)).toBeGreaterThan(1_000)
  }, 20_000)

  it('sends a heartbeat of every tablet each period, the same text while nothing is new', async () => {
    office = await openOffice(at('08:00'), 120)
    begin()
    await until(() => office.heartbeats.size === 64)
    const from = office.clock.now()
    await until(() => office.clock.now() >= from + 5 * MINUTE)
    const to = office.clock.now()
    const beats = office.heartbeats.get('fog-bell')!.filter(b => b.at >= from)
    expect(beats.length).toBeGreaterThanOrEqual(3)
    expect(beats.length).toBeLessThanOrEqual(Math.ceil((to - from) / MINUTE))
    const changed = new Set(beats.map(b => b.text)).size - 1
    const news = dueBy('fog-bell', to).length - dueBy('fog-bell', from - MINUTE).length
    expect(changed).toBeLessThanOrEqual(news)
  }, 15_000)

  it('cuts off twelve precincts for their gap, the dead tablet for good, and delivers late with the true time', async () => {
    office = await openOffice(at('10:25'), 30)
    begin()
    await until(() => told.some(line => line.caughtUp !== undefined))
    office.clock.setSpeed(300)
    office.sayHeard()
    await dayReaches('10:35')
    const gapped = cutOff(plan)
    expect(gapped).toHaveLength(12)
    const linked = office.linked()
    expect(codes.filter(c => !linked.includes(c)).sort()).toEqual([...gapped, 'saltmarsh-school'].sort())
    await dayReaches('10:49')
    for (const code of gapped) {
      expect(office.reports.get(code)!.length).toBeGreaterThanOrEqual(dueBy(code, at('10:29')).length)
      expect(office.reports.get(code)!.length).toBeLessThanOrEqual(dueBy(code, at('10:30')).length)
    }
    await dayReaches('10:58')
    const late = gapped.flatMap(code =>
      office.reports.get(code)!.filter(r => r.happenedAt < at('10:49') && r.recordedAt > at('10:50')),
    )
    expect(late.length).toBeGreaterThan(3)
    for (const code of gapped) expect(office.linked()).toContain(code)
    expect(office.reports.has('saltmarsh-school')).toBe(false)
    expectScript(300)
  }, 15_000)

  it('loses and doubles nothing when answers are lost and it is told to wait', async () => {
    office = await openOffice(at('06:20'), 240)
    office.trouble.loseEvery = 17
    office.trouble.waitEvery = 5
    begin()
    await dayReaches('06:36')
    office.trouble.loseEvery = 0
    office.trouble.waitEvery = 0
    const soon = office.clock.now()
    await until(() => codes.every(c => (office.reports.get(c)?.length ?? 0) >= dueBy(c, soon).length))
    expect(expectScript(240)).toBeGreaterThan(800)
  }, 20_000)

  it('goes on from upTo when it was stopped and begins again', async () => {
    office = await openOffice(at('07:00'), 300)
    begin()
    await dayReaches('07:10')
    played?.stop()
    const before = [...office.reports.values()].reduce((n, kept) => n + kept.length, 0)
    await dayReaches('07:17')
    begin()
    await dayReaches('07:27')
    expect(expectScript(300)).toBeGreaterThan(before)
    for (const code of codes)
      expect(office.reports.get(code)!.length).toBeGreaterThanOrEqual(dueBy(code, at('07:20')).length)
  }, 15_000)

  it('says nothing of the future when the day stood still while the office was down', async () => {
    office = await openOffice(at('07:00'), 300)
    begin()
    await dayReaches('07:10')
    const stoodAt = office.clock.now()
    const port = Number(new URL(office.url).port)
    await office.close()
    await new Promise(resolve => setTimeout(resolve, 1_500))
    office = await openOffice(stoodAt, 300, { ...office, port })
    await until(() => office.clock.now() >= at('07:25'))
    for (const [code, kept] of office.reports)
      for (const r of kept) {
        const early = script.precincts.get(code)!.facts[r.number - 1]!.at - r.recordedAt
        expect([code, r.number, early < 300 * SECOND]).toEqual([code, r.number, true])
      }
    expect(expectScript(300)).toBeGreaterThan(900)
  }, 20_000)

  it('follows a change of speed', async () => {
    office = await openOffice(at('08:00'), 600)
    begin()
    await dayReaches('08:20')
    office.clock.setSpeed(1)
    office.sayHeard()
    const slow = office.clock.now()
    const beats = () => [...office.heartbeats.values()].reduce((n, b) => n + b.length, 0)
    await new Promise(resolve => setTimeout(resolve, 300))
    const settled = beats()
    await new Promise(resolve => setTimeout(resolve, 1_000))
    expect(beats()).toBe(settled)
    for (const code of codes) expect(office.reports.get(code)!.length).toBe(dueBy(code, slow).length)
  }, 15_000)

  it('P7: dates what was before by the speed that runs, once the office has forgotten those that were', async () => {
    office = await openOffice(at('09:08'), STILL)
    begin()
    await until(() => told.some(line => line.caughtUp !== undefined))
    let quiet = false
    played!.hush(() => {
      quiet = true
    })
    await until(() => quiet)
    const asked = () => [...office.heartbeats.values()].reduce((n, b) => n + b.length, 0)
    const hushedAt = asked()
    await new Promise(resolve => setTimeout(resolve, 100))
    expect(asked()).toBe(hushedAt)

    office.heartbeats.clear()
    office.clock.setSpeed(60)
    office.clock.forgetSpeeds()
    office.sayHeard()
    played!.speak(60)
    const linked = office.linked()
    await until(() => linked.every(code => office.heartbeats.has(code)))
    let opened = 0
    for (const [code, [first]] of office.heartbeats) {
      const fact = script.precincts.get(code)!.facts.find(f => f.kind === 'PollsOpened')
      if (first!.polls?.is !== 'open') continue
      expect([code, Math.abs(first!.polls.happenedAt - fact!.at) <= 60 * SECOND]).toEqual([code, true])
      opened++
    }
    expect(opened).toBeGreaterThan(55)
    expectScript(60)
  }, 15_000)

  it('leaves out a tablet whose key was refused, and plays the others', async () => {
    office = await openOffice(at('08:00'), 60)
    begin(new Map([...keys, ['fog-bell', 'bad']]))
    await until(() => told.some(line => line.caughtUp !== undefined))
    expect(told).toContainEqual({ keyRefused: 'fog-bell' })
    expect(office.linked()).not.toContain('fog-bell')
    expect(office.reports.has('bad')).toBe(false)
    expect(office.reports.size).toBe(63)
  }, 15_000)
})

describe('the simulator as a program', () => {
  let dir = ''
  beforeEach(() => {
    dir = mkdtempSync(join(tmpdir(), 'simulator-'))
  })
  afterEach(() => rmSync(dir, { recursive: true }))

  it('spends its codes, waits when told to, keeps the keys readable by its owner alone, and says which code failed', async () => {
    office = await openOffice(at('08:00'), 60)
    office.codes.set('CODE-0001', 'fog-bell')
    office.codes.set('CODE-0002', 'seawall')
    const path = join(dir, 'state.json')
    const state = {
      'fog-bell': { code: 'CODE-0001' },
      seawall: { code: 'CODE-0002' },
      sheepgate: { code: 'CODE-9999' },
      tollhouse: { key: 'k' },
    }
    const got = await keysOf({
      url: office.url,
      path,
      state,
      tell: line => told.push(line),
      stopped: () => false,
    })
    expect([...got]).toEqual([
      ['fog-bell', 'fog-bell'],
      ['seawall', 'seawall'],
      ['tollhouse', 'k'],
    ])
    expect(told).toEqual([
      { waiting: 'fog-bell', why: 'this code is not good' },
      { notEnrolled: 'sheepgate', why: 'this code is not good' },
    ])
    expect(JSON.parse(readFileSync(path, 'utf8'))).toEqual({
      ...state,
      'fog-bell': { key: 'fog-bell' },
      seawall: { key: 'seawall' },
    })
    expect(statSync(path).mode & 0o777).toBe(0o600)
  })

  const start = (...args: string[]) =>
    spawn(process.execPath, ['--import', 'tsx', 'seed/simulator/run.ts', ...args], { cwd: root })

  it('plays from a state file, tells its progress, and ends on SIGTERM', async () => {
    office = await openOffice(at('08:00'), 60)
    const path = join(dir, 'state.json')
    writeFileSync(path, JSON.stringify({ 'fog-bell': { key: 'fog-bell' }, seawall: { key: 'seawall' } }))
    const child = start('--url', office.url, '--plan', 'seed/ellery', '--state', path, '--seed', '7')
    let out = ''
    child.stdout.on('data', chunk => {
      out += chunk
    })
    await until(() => out.includes('caughtUp'), 15_000)
    expect([...office.reports.keys()].sort()).toEqual(['fog-bell', 'seawall'])
    child.kill('SIGTERM')
    expect(await once(child, 'exit')).toEqual([0, null])
    await until(() => office.linked().length === 0)
  }, 30_000)

  it('ends when its standard input does, if it was asked to', async () => {
    office = await openOffice(at('08:00'), 60)
    const path = join(dir, 'state.json')
    writeFileSync(path, JSON.stringify({ 'fog-bell': { key: 'fog-bell' } }))
    const child = start('--url', office.url, '--plan', 'seed/ellery', '--state', path, '--stdin')
    await until(() => office.linked().length === 1, 15_000)
    child.stdin.end()
    expect(await once(child, 'exit')).toEqual([0, null])
  }, 30_000)

  it('says in one line what is wrong with its arguments, and exits 1', async () => {
    office = await openOffice(at('08:00'), 60)
    const child = start('--url', office.url, '--plan', 'seed/ellery', '--state', join(dir, 'none.json'))
    let err = ''
    child.stderr.on('data', chunk => {
      err += chunk
    })
    expect(await once(child, 'exit')).toEqual([1, null])
    expect(err).toMatch(/none\.json: .*\n$/)
  }, 30_000)
})
