import { execFileSync } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openAccessStore } from '../../db/accessStore.ts'
import { connect } from '../../db/connect.ts'
import { openDays } from '../../db/days.ts'
import { makeAccess } from '../../server/access/makeAccess.ts'
import { planHash, readPlanFolder } from '../../server/cli/planFiles.ts'
import type { Plan } from '../../server/domain/plan/plan.ts'
import { instantOf } from '../../server/domain/plan/zone.ts'
import { MINUTE } from '../../server/domain/time.ts'
import { keepPlan } from '../../server/openDay.ts'
import { checkoutFolder } from '../../server/where.ts'
import { freshDatabase } from '../support/database.ts'
import { addressOf, isAlive, type Program, startServer } from '../support/programs.ts'
import { connectBoard, until } from '../support/runSunup.ts'
import { selfSigned } from '../support/selfSigned.ts'
import { type SetupServer, setupServer } from '../support/setupServer.ts'
import { signedIn } from '../support/signedIn.ts'

/** A trainer at a running practice day: the real server, its simulator as a program of its own, the public link. */
const SPEED = 60
/** Precincts of Ellery that its story leaves alone, and one whose tabulator goes down at 9:12 by it. */
const CODES = ['fog-bell', 'seawall', 'sheepgate', 'tollhouse', 'lantern-square', 'old-ferry-road']
const whole = (() => {
  const read = readPlanFolder(join(checkoutFolder(), 'seed', 'ellery'))
  if ('faults' in read) throw new Error(JSON.stringify(read.faults))
  return read.plan
})()
const some = whole.precincts.filter(p => CODES.includes(p.code))
const has = (p: { precinct: string }) => some.some(s => s.code === p.precinct)
const plan: Plan = {
  ...whole,
  precincts: some,
  equipment: whole.equipment.filter(has),
  seals: whole.seals.filter(has),
  contacts: whole.contacts.filter(has),
}
const local = (hhmm: string) => instantOf(plan.date, hhmm, plan.timeZone)
type Entry = {
  kind: string
  precinct: string | null
  recordedAt: string
  occurredAt: string
  body: { rule?: string }
}

let folder: string
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'sunup-trainer-'))
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** Processes whose parent this is. */
function childrenOf(pid: number): number[] {
  const children: number[] = []
  for (const name of readdirSync('/proc')) {
    if (!/^\d+$/.test(name)) continue
    try {
      const [, rest = ''] = readFileSync(`/proc/${name}/stat`, 'utf8').split(') ')
      if (Number(rest.split(' ')[1]) === pid) children.push(Number(name))
    } catch {
      // Gone meanwhile.
    }
  }
  return children
}
const simulatorsOf = (pid: number) =>
  childrenOf(pid).filter(child => {
    try {
      return readFileSync(`/proc/${child}/cmdline`, 'utf8').includes('--orders')
    } catch {
      return false
    }
  })

describe('a practice day with simulated tablets', () => {
  let server: SetupServer
  let day: string
  let token: string
  let database: string
  const entries = async (): Promise<Entry[]> => {
    const all: Entry[] = []
    for (;;) {
      const page = (await server.get(`days/${day}/log?after=${all.length}&limit=1000`, token)).json.entries
      all.push(...page)
      if (page.length < 1_000) return all
    }
  }
  const now = async () => Date.parse((await server.day(day)).clock!.now)
  const order = (precinct: string, what: string) => server.post(`setup/days/${day}/fault`, { precinct, what })

  beforeAll(async () => {
    database = await freshDatabase()
    server = await setupServer({ url: database, keptFolder: folder })
    day = await server.keep(plan)
    token = await server.tokenOf('supervisor')
  })
  afterAll(async () => {
    await server?.stop()
    expect(simulatorsOf(process.pid)).toEqual([])
  })

  it('plays its morning quickly, refusing orders meanwhile, and then runs at its speed', async () => {
    const asked = await server.post(`setup/days/${day}/practise`, {
      speed: SPEED,
      from: '08:30',
      seed: 7,
      simulated: true,
    })
    expect(asked.json).toEqual({ ok: true })
    expect(await server.day(day)).toMatchObject({
      is: 'running',
      simulated: true,
      morningUntil: new Date(local('08:30')).toISOString(),
    })
    expect((await order('fog-bell', 'help-asked')).json.problems).toEqual([
      { path: 'day', message: 'its morning is being played, up to 08:30' },
    ])
    expect((await server.post(`setup/days/${day}/speed`, { speed: 5 })).status).toBe(409)
    await server.sunup.keeper.ready(day)
    expect(await server.day(day)).toMatchObject({
      morningUntil: null,
      clock: { speed: SPEED },
      devices: CODES.length,
      trouble: null,
    })
    expect(await now()).toBeGreaterThanOrEqual(local('08:30'))
    expect(await now()).toBeLessThan(local('08:40'))
    const opened = (await entries()).filter(e => e.kind === 'PollsOpened').map(e => e.precinct)
    expect(opened.sort()).toEqual([...CODES].sort())
    for (const file of readdirSync(join(folder, 'practice')))
      expect([file, statSync(join(folder, 'practice', file)).mode & 0o777]).toEqual([file, 0o600])
  })

  it('shows each fault on the call list within its rule’s delay', async () => {
    const board = await connectBoard(
      { sunup: server.sunup, url: server.url, day } as Parameters<typeof connectBoard>[0],
      { id: 'test-desk', name: 'A desk', role: 'desk' },
    )
    const { heartbeat, rules } = plan.policy
    const slack = 2 * MINUTE
    const faults = [
      ['fog-bell', 'tabulator-down', 'tabulator-down', 0],
      ['seawall', 'help-asked', 'help-asked', 0],
      ['sheepgate', 'tablet-dies', 'silent', heartbeat.silentAfterSeconds * 1_000],
      // The line is reported at the next full minute.
      ['tollhouse', 'long-line', 'long-line', MINUTE],
      ['lantern-square', 'seal-different', 'seal-different', 0],
    ] as const
    const from = await now()
    for (const [precinct, what] of faults)
      expect([what, (await order(precinct, what)).json]).toEqual([what, { ok: true }])
    const ordered = await now()
    const raised = async () =>
      (await entries()).filter(e => e.kind === 'ReasonRaised' && Date.parse(e.recordedAt) > from)
    await until(
      'all are raised',
      async () => {
        const all = await raised()
        return faults.every(([precinct, , rule]) =>
          all.some(e => e.precinct === precinct && e.body.rule === rule),
        )
      },
      60_000,
    )
    const all = await raised()
    for (const [precinct, what, rule, after] of faults) {
      const e = all.find(r => r.precinct === precinct && r.body.rule === rule)!
      const due = ordered + after + rules[rule].delayMinutes * MINUTE + slack
      expect([what, Date.parse(e.recordedAt) <= due]).toEqual([what, true])
    }
    const { calls } = await board.snapshot()
    for (const [precinct, , rule] of faults)
      expect([
        precinct,
        rule,
        calls.some(c => c.precincts.includes(precinct) && c.reasons.some(r => r.rule === rule)),
      ]).toEqual([precinct, rule, true])
    board.close()
  })

  it('answers an order that makes no sense with why', async () => {
    expect(await order('seawall', 'tabulator-back')).toEqual({
      status: 409,
      json: {
        ok: false,
        problems: [{ path: 'what', message: 'its tabulators work, and its slot is locked' }],
      },
    })
    expect((await order('sheepgate', 'help-asked')).json.problems[0].message).toMatch(/bring it back first/)
    expect((await order('no-such', 'help-asked')).json.problems).toEqual([
      { path: 'precinct', message: 'there is no such precinct in this day’s plan' },
    ])
  })

  it('ends faults when they are ordered to: the tabulator’s ballots are fed, the dead tablet’s outbox resumes', async () => {
    expect((await order('fog-bell', 'tabulator-back')).json).toEqual({ ok: true })
    expect((await order('sheepgate', 'tablet-back')).json).toEqual({ ok: true })
    await until(
      'both reasons end and the slot is fed',
      async () => {
        const all = await entries()
        const ended = (precinct: string, rule: string) =>
          all.some(e => e.kind === 'ReasonEnded' && e.precinct === precinct && e.body.rule === rule)
        return (
          ended('fog-bell', 'tabulator-down') &&
          ended('sheepgate', 'silent') &&
          all.some(e => e.kind === 'SlotBallotsFed' && e.precinct === 'fog-bell')
        )
      },
      60_000,
    )
  })

  it('goes on after a restart as it was ordered, nothing said twice or otherwise, and not by itself', async () => {
    await server.stop()
    server = await setupServer({ url: database, keptFolder: folder })
    token = await server.tokenOf('supervisor')
    expect(await server.day(day)).toMatchObject({ is: 'stopped', simulated: true })
    expect((await server.post(`setup/days/${day}/practise`, { speed: SPEED, simulated: true })).json).toEqual(
      {
        ok: true,
      },
    )
    await server.sunup.keeper.ready(day)
    const from = await now()
    await until(
      'it is later, and past the story’s next',
      async () => (await now()) > Math.max(from + 15 * MINUTE, local('09:20')),
      120_000,
    )
    const all = await entries()
    // The day waited for its tablets.
    expect(all.filter(e => e.kind === 'ReasonRaised' && e.body.rule === 'own-link')).toEqual([])
    expect(all.filter(e => e.kind === 'HelpRequested' && e.precinct === 'seawall')).toHaveLength(1)
    expect(all.filter(e => e.kind === 'SlotBallotsFed' && e.precinct === 'fog-bell')).toHaveLength(1)
    // The story goes on elsewhere.
    expect(all.filter(e => e.kind === 'EquipmentWentDown' && e.precinct === 'old-ferry-road')).toHaveLength(1)
    expect(all.some(e => e.kind === 'CountsReported' && Date.parse(e.recordedAt) > from)).toBe(true)
    expect((await server.get(`setup/days/${day}/refused`)).json).toEqual({ refused: [] })
    expect(await server.sunup.log.verify(day)).toMatchObject({ ok: true })
  })

  it('stands still and says so when its tablets end, and is mended by practising it again', async () => {
    const [simulator] = simulatorsOf(process.pid)
    process.kill(simulator!, 'SIGKILL')
    await until('the trouble is told', async () => (await server.day(day)).trouble !== null)
    expect(await server.day(day)).toMatchObject({
      is: 'running',
      clock: { speed: 0 },
      trouble: expect.stringMatching(/^The simulated tablets ended/),
    })
    expect((await order('seawall', 'help-asked')).status).toBe(409)
    expect((await server.post(`setup/days/${day}/practise`, { speed: 30, simulated: true })).json).toEqual({
      ok: true,
    })
    await until(
      'its tablets speak again',
      async () => {
        const told = await server.day(day)
        return told.trouble === null && told.clock?.speed === 30
      },
      90_000,
    )
    expect(simulatorsOf(process.pid)).toHaveLength(1)
  })

  it('ends its tablets when it is closed, and forgets their keys', async () => {
    expect((await server.post(`setup/days/${day}/close`, { confirm: day })).json).toEqual({ ok: true })
    expect(simulatorsOf(process.pid)).toEqual([])
    expect(readdirSync(join(folder, 'practice'))).toEqual([])
    const desk = await server.tokenOf('desk')
    expect((await server.get(`days/${day}/board`, desk)).json.precincts).toHaveLength(CODES.length)
    expect(await server.sunup.log.verify(day)).toMatchObject({ ok: true })
  })
})

describe('a practice day on a server with TLS', () => {
  it('has tablets that speak to it by this machine’s own address, whatever name its certificate is good for', async () => {
    const server = await setupServer({
      url: await freshDatabase(),
      keptFolder: join(folder, 'tls'),
      tls: selfSigned(folder),
    })
    try {
      const day = await server.keep(plan)
      const practised = { speed: 1, from: '05:40', seed: 7, simulated: true }
      expect(await server.sunup.keeper.practise(day, practised)).toEqual({ ok: true })
      await server.sunup.keeper.ready(day)
      const [told] = await server.sunup.keeper.list()
      expect(told).toMatchObject({ id: day, trouble: null, devices: CODES.length, clock: { speed: 1 } })
      const log = await server.sunup.log.read(day, 0, 1_000)
      const spoke = new Set(log.filter(s => s.entry.origin.via === 'device').map(s => s.entry.precinct))
      expect([...spoke].sort()).toEqual([...CODES].sort())
    } finally {
      await server.stop()
    }
    expect(simulatorsOf(process.pid)).toEqual([])
  })
})

describe('npm start with a practice day', () => {
  it('leaves no simulator behind when it is killed, and says nothing of it but where it logs', async () => {
    const database = await freshDatabase()
    const sql = connect(database, { max: 2 })
    const keeping = await keepPlan(openDays(sql), plan, planHash(plan), null)
    const access = makeAccess({
      store: openAccessStore(sql),
      now: Date.now,
      enrolRate: { perAddressPerMinute: 1, inAllPerMinute: 1 },
    })
    const person = { id: 'admin', name: 'An admin', role: 'admin' } as const
    const { Cookie } = await signedIn(access, '', person)
    await sql.end({ timeout: 5 })
    const start = () =>
      startServer(['start'], {
        DATABASE_URL: database,
        SUNUP_DATA: join(folder, 'killed'),
        SUNUP_LOG: 'warn',
      })
    const post = async (program: Program, path: string, body: object) => {
      const address = await addressOf(program)
      const response = await fetch(`${address}/api/v1/setup/days/${keeping.id}/${path}`, {
        method: 'POST',
        headers: { 'Content-Type': 'application/json', Cookie, Origin: address },
        body: JSON.stringify(body),
      })
      return response.json()
    }
    const practise = { speed: 60, from: '05:10', simulated: true }
    const first = await start()
    expect(await post(first, 'practise', practise)).toEqual({ ok: true })
    await until('the simulator runs', () => simulatorsOf(first.child.pid!).length === 1, 30_000)
    const simulators = simulatorsOf(first.child.pid!)
    first.child.kill('SIGKILL')
    await first.ended
    await until('it ended with its server', () => !isAlive(simulators[0]!), 90_000)

    const second = await start()
    expect(await second.line(/practice day/)).toMatch(/practice day: it runs when somebody practises it/)
    expect(await post(second, 'practise', { speed: 60, simulated: true })).toEqual({ ok: true })
    await until('it runs again', () => simulatorsOf(second.child.pid!).length === 1, 30_000)
    const [simulator] = simulatorsOf(second.child.pid!)
    const { code, ms } = await second.stop()
    expect(code).toBe(0)
    expect(ms).toBeLessThan(10_000)
    expect(isAlive(simulator!)).toBe(false)
    expect(second.err()).toBe('')
    expect(execFileSync('ls', [join(folder, 'killed', 'practice')], { encoding: 'utf8' })).toContain(
      'tablets.json',
    )
  })
})
