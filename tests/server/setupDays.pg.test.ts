import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { io } from 'socket.io-client'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { instantOf } from '../../server/domain/plan/zone.ts'
import { HOUR, MINUTE } from '../../server/domain/time.ts'
import {
  freshCodes,
  planReport,
  refusedReports,
  setupDays,
  setupPlan,
  trainerFaults,
} from '../../server/protocol/setup.ts'
import { checkoutFolder } from '../../server/where.ts'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import { connectDevice, until } from '../support/runSunup.ts'
import { type SetupServer, setupServer, uploadOf } from '../support/setupServer.ts'

const ellery = join(checkoutFolder(), 'seed', 'ellery')
let database: string
let server: SetupServer
let kept: string
const restart = async () => {
  await server.stop()
  server = await setupServer({ url: database, keptFolder: kept })
}
beforeAll(async () => {
  database = await freshDatabase()
  kept = mkdtempSync(join(tmpdir(), 'sunup-setup-'))
  server = await setupServer({ url: database, keptFolder: kept })
})
afterAll(async () => {
  await server?.stop()
  rmSync(kept, { recursive: true, force: true })
})

const problems = (path: string, message: string | RegExp) => ({
  ok: false,
  problems: [{ path, message: typeof message === 'string' ? message : expect.stringMatching(message) }],
})
const election = (date: string) => aPlan({ kind: 'election', date, name: `Election of ${date}` })
const practice = (date: string) => aPlan({ kind: 'practice', date, name: `Practice of ${date}` })
async function enrol(code: string): Promise<string> {
  const { json } = await server.post('enrol', { code, label: 'tablet' }, '')
  if (!json.key) throw new Error(JSON.stringify(json))
  return json.key
}

describe('a plan in the browser', () => {
  it('is checked without being kept, kept, kept again as the same, and replaced before its day has begun', async () => {
    const files = uploadOf(ellery)
    const checked = await server.post('setup/plans', { files, keep: false })
    expect(checked.status).toBe(200)
    expect(planReport.parse(checked.json)).toMatchObject({
      ok: true,
      day: 'ellery-county-2026-11-03-practice',
      replaces: false,
      kept: false,
    })
    expect((await server.get('setup/days')).json).toEqual({ days: [] })

    expect((await server.post('setup/plans', { files, keep: true })).json).toMatchObject({
      kept: true,
      replaces: false,
    })
    expect((await server.post('setup/plans', { files, keep: true })).json).toMatchObject({
      kept: true,
      replaces: false,
    })
    const other = uploadOf(ellery, (name, text) =>
      name === 'plan.json' ? text.replace('555-0100', '555-0107') : text,
    )
    const replaced = await server.post('setup/plans', { files: other, keep: true })
    expect(replaced.json).toMatchObject({
      ok: true,
      day: checked.json.day,
      replaces: checked.json.hash !== replaced.json.hash,
      kept: true,
    })
    const { days } = setupDays.parse((await server.get('setup/days')).json)
    expect(days).toMatchObject([
      {
        id: 'ellery-county-2026-11-03-practice',
        is: 'kept',
        precincts: 64,
        devices: 0,
        clock: null,
        openedAt: null,
        planHash: replaced.json.hash,
      },
    ])
  })

  it('with faults is answered with all of them, and nothing is kept', async () => {
    const files = uploadOf(ellery, (name, text) =>
      name === 'precincts.csv' ? text.replace(/\n([^,\n]*),/, '\n,').replace(/,\d+\n/, ',many\n') : text,
    )
    const before = (await server.get('setup/days')).json
    const { status, json } = await server.post('setup/plans', { files, keep: true })
    expect(status).toBe(200)
    const report = planReport.parse(json)
    expect(report.ok).toBe(false)
    expect(!report.ok && report.faults.some(f => f.file === 'precincts.csv' && f.line === 2)).toBe(true)
    expect((await server.get('setup/days')).json).toEqual(before)
  })

  it('is told by place, precinct and piece of equipment, and every threshold beside its standard', async () => {
    const day = await server.keep(practice('2026-05-05'))
    const told = setupPlan.parse((await server.get(`setup/days/${day}/plan`)).json)
    expect(told.precincts.map(p => [p.code, p.place, p.equipment.length, p.devices])).toEqual([
      ['E-01', 'PL-01', 3, 0],
      ['E-02', 'PL-02', expect.any(Number), 0],
      ['E-03', 'PL-03', expect.any(Number), 0],
    ])
    expect(told.thresholds).toContainEqual({
      path: 'heartbeat.silentAfterSeconds',
      value: 300,
      standard: 300,
    })
    expect(told.rules.find(r => r.rule === 'not-open')).toMatchObject({
      is: { tier: 'stop', delayMinutes: 0 },
    })
    expect(JSON.stringify(told)).not.toContain('555-0100')
    expect((await server.get('setup/days/nowhere/plan')).status).toBe(404)
  })
})

describe('the whole life of an election day', () => {
  it('is kept, given codes, opened, restarted, closed, and read for ever', async () => {
    const day = await server.keep(election('2026-11-03'))
    expect(await server.day(day)).toMatchObject({ is: 'kept', openedAt: null, kind: 'election' })
    await restart()
    expect(await server.day(day)).toMatchObject({ is: 'kept' })
    expect((await server.get(`days/${day}/board`)).status).toBe(404)
    expect((await server.post(`setup/days/${day}/close`, { confirm: day })).json).toEqual(
      problems('day', 'this day was never run: there is nothing to close'),
    )

    const all = await server.post(`setup/days/${day}/codes`, {})
    expect(freshCodes.parse(all.json).codes.map(c => [c.precinct, c.place])).toEqual([
      ['E-01', 'Harbor Hall'],
      ['E-02', 'Mill School'],
      ['E-03', 'Gull Island Chapel'],
    ])
    const one = await server.post(`setup/days/${day}/codes`, { precincts: ['E-02'] })
    expect(one.json.codes).toMatchObject([{ precinct: 'E-02' }])
    expect((await server.post(`setup/days/${day}/codes`, { precincts: ['E-02', 'E-99'] })).json).toEqual(
      problems('precincts', 'there is no precinct E-99 in this day’s plan'),
    )
    const key = await enrol(one.json.codes[0].code)
    expect(await server.day(day)).toMatchObject({ is: 'kept', devices: 1 })
    const early = await server.post('reports', { reports: [] }, key)
    expect(early.json).toMatchObject({ ok: true, upTo: 0 })
    const waits = await server.post(
      'reports',
      { reports: [{ number: 1, at: '2026-11-03T12:00:00Z', kind: 'PollsOpened', body: {} }] },
      key,
    )
    expect(waits.json).toMatchObject(problems('', /does not run now/))

    expect((await server.post(`setup/days/${day}/practise`, { speed: 10, simulated: false })).json).toEqual(
      problems('day', 'this is an election day: it is opened, and runs by the real clock'),
    )
    expect((await server.post(`setup/days/${day}/open`, {})).json).toEqual({ ok: true })
    expect((await server.post(`setup/days/${day}/open`, {})).json).toEqual(
      problems('day', 'this day is running'),
    )
    expect(await server.day(day)).toMatchObject({ is: 'running', clock: { speed: 1 }, simulated: false })
    expect((await server.post(`setup/days/${day}/speed`, { speed: 10 })).json).toEqual(
      problems('day', 'this day is no running practice day'),
    )

    await restart()
    expect(await server.day(day)).toMatchObject({ is: 'running' })
    const device = await connectDevice(server.url, key)
    const closedSaid = new Promise(resolve => device.socket.once('closed', resolve))
    expect(await device.say(1, 'PollsOpened', {})).toMatchObject({ ok: true, upTo: 1 })

    expect((await server.post(`setup/days/${day}/close`, { confirm: 'another' })).json).toEqual(
      problems('confirm', 'This is not the id of the day: nothing was closed.'),
    )
    expect((await server.post(`setup/days/${day}/close`, { confirm: day })).json).toEqual({ ok: true })
    expect(await closedSaid).toEqual({ day })
    expect((await server.post(`setup/days/${day}/close`, { confirm: day })).json).toEqual(
      problems('day', /^.* was closed at 20.*: it can be read, and nothing else$/),
    )
    const readOnly = async () => {
      expect(await server.day(day)).toMatchObject({ is: 'closed', clock: null })
      const late = await server.post(
        'reports',
        { reports: [{ number: 2, at: '2026-11-03T12:00:00Z', kind: 'PollsClosed', body: {} }] },
        key,
      )
      expect(late.json).toEqual({
        ok: false,
        upTo: 1,
        problems: [{ path: '', message: 'this day is closed: the office takes no more reports for it' }],
      })
      expect((await server.post('heartbeat', { device: { battery: 50 } }, key)).json).toMatchObject({
        ok: false,
      })
      const desk = await server.tokenOf('desk')
      const board = await server.get(`days/${day}/board`, desk)
      expect(board.json.precincts.find((p: { code: string }) => p.code === 'E-02')).toMatchObject({
        standing: 'open',
      })
      expect(board.json.speed).toBe(0)
      const again = await server.get(`days/${day}/board`, desk)
      expect(again.json.now).toBe(board.json.now)
      const log = (await server.get(`days/${day}/log?limit=1000`, desk)).json.entries
      expect(log.at(-1).kind).toBe('DayClosed')
      expect(log.filter((e: { kind: string }) => e.kind === 'DayClosed')).toHaveLength(1)
      expect((await server.get('days', desk)).json.days).toContainEqual(
        expect.objectContaining({ id: day, running: false }),
      )
      const note = { id: crypto.randomUUID(), kind: 'AddNote', body: { precinct: 'E-01', note: 'Late.' } }
      expect(await server.post(`days/${day}/commands`, note, desk)).toMatchObject({
        status: 409,
        json: { ok: false, refusal: { reason: 'day-closed' } },
      })
      expect(await server.sunup.log.verify(day)).toMatchObject({ ok: true })
      for (const [what, body] of [
        ['open', {}],
        ['codes', {}],
      ] as const)
        expect((await server.post(`setup/days/${day}/${what}`, body)).json).toEqual(
          problems('day', /was closed at/),
        )
    }
    await readOnly()
    await restart()
    await readOnly()
    const comesBack = io(`${server.url}/precinct`, {
      auth: { key },
      transports: ['websocket'],
      forceNew: true,
    })
    expect(await new Promise(resolve => comesBack.once('closed', resolve))).toEqual({ day })
    comesBack.disconnect()
    device.close()
    const files = {
      files: uploadOf(ellery, (name, text) =>
        name === 'plan.json' ? text.replace('"practice"', '"election"') : text,
      ),
      keep: true,
    }
    const report = (await server.post('setup/plans', files)).json
    expect(report).toMatchObject({
      ok: false,
      faults: [{ file: 'plan.json', message: expect.stringMatching(/is closed: its record stands/) }],
    })
  })

  it('that was closed a moment before the server was killed is closed at the next start', async () => {
    const day = await server.keep(election('2026-06-06'))
    await server.post(`setup/days/${day}/open`, {})
    await server.sunup.log.decide(day, now => ({
      entries: [
        {
          kind: 'DayClosed',
          version: 1,
          precinct: null,
          source: 'system',
          number: null,
          occurredAt: now,
          origin: { via: 'system' },
          body: {},
        },
      ],
      result: null,
    }))
    await server.stop()
    server = await setupServer({ url: database, keptFolder: kept })
    expect(await server.day(day)).toMatchObject({ is: 'closed' })
  })
})

describe('a practice day of people alone', () => {
  it('begins where it was asked to, stands still, stops with the server, goes on where it stood, and makes another day when it was closed', async () => {
    const plan = practice('2026-03-03')
    const day = await server.keep(plan)
    const eight = instantOf(plan.date, '08:00', plan.timeZone)
    const clock = async () => Date.parse((await server.day(day)).clock!.now)
    expect((await server.post(`setup/days/${day}/open`, {})).json).toEqual(
      problems('day', 'this is a practice day: it is practised, not opened'),
    )
    const practise = (more: object = {}) =>
      server.post(`setup/days/${day}/practise`, { speed: 600, simulated: false, ...more })
    expect((await practise({ from: '08:00' })).json).toEqual({ ok: true })
    expect((await practise()).json).toEqual(problems('day', 'this day is running'))
    expect(
      (await server.post(`setup/days/${day}/fault`, { precinct: 'E-01', what: 'help-asked' })).json,
    ).toEqual(problems('day', 'no simulated tablets speak on this day'))
    expect(await server.day(day)).toMatchObject({
      is: 'running',
      clock: { speed: 600 },
      simulated: false,
      trouble: null,
    })
    await until('ten minutes of the day are over', async () => (await clock()) > eight + 10 * MINUTE)

    expect((await server.post(`setup/days/${day}/speed`, { speed: 0 })).json).toEqual({ ok: true })
    const stands = await clock()
    expect((await server.day(day)).clock!.speed).toBe(0)
    await new Promise(resolve => setTimeout(resolve, 300))
    expect((await clock()) - stands).toBeLessThan(1_000)

    await restart()
    expect(await server.day(day)).toMatchObject({ is: 'stopped', clock: null })
    expect((await server.get('days')).json.days.map((d: { id: string }) => d.id)).not.toContain(day)
    expect((await practise({ from: '09:00' })).json).toEqual(
      problems('from', 'the day has begun: it goes on where it stood'),
    )
    expect((await practise({ simulated: true })).json).toEqual(
      problems('simulated', /began without simulated tablets/),
    )
    expect((await practise({ speed: 1 })).json).toEqual({ ok: true })
    const goesOn = await clock()
    expect(goesOn).toBeGreaterThanOrEqual(stands)
    expect(goesOn - stands).toBeLessThan(10 * MINUTE)
    const log = (await server.get(`days/${day}/log?limit=1000`)).json.entries
    expect(log[0]).toMatchObject({ kind: 'DayOpened', recordedAt: new Date(eight).toISOString() })
    expect(log.some((e: { kind: string }) => e.kind === 'ServiceResumed')).toBe(true)

    const other = aPlan({ kind: 'practice', date: '2026-03-03', officePhone: '555-0188' })
    await expect(server.keep(other)).rejects.toThrow(/has begun with another plan/)
    await server.post(`setup/days/${day}/close`, { confirm: day })
    expect(await server.keep(plan)).toBe(`${day}-2`)
    expect(await server.keep(plan)).toBe(`${day}-2`)
    await server.post(`setup/days/${day}-2/practise`, { speed: 1, simulated: false })
    expect(Date.parse((await server.day(`${day}-2`)).clock!.now)).toBeLessThan(eight)
    await server.post(`setup/days/${day}-2/close`, { confirm: `${day}-2` })
    expect(await server.keep(other)).toBe(`${day}-3`)
  })

  it('runs beside an election day, each by its own clock, each with its own log', async () => {
    const real = await server.keep(election('2026-08-08'))
    const trial = await server.keep(practice('2026-09-09'))
    await server.post(`setup/days/${real}/open`, {})
    await server.post(`setup/days/${trial}/practise`, { speed: 100, simulated: false })
    const keys = new Map<string, string>()
    for (const day of [real, trial]) {
      const { json } = await server.post(`setup/days/${day}/codes`, { precincts: ['E-01'] })
      keys.set(day, await enrol(json.codes[0].code))
    }
    for (const day of [real, trial]) {
      const report = {
        sentAt: new Date().toISOString(),
        reports: [
          {
            number: 1,
            at: new Date().toISOString(),
            kind: 'TeamReported',
            body: { present: 5, missing: [] },
          },
        ],
      }
      expect((await server.post('reports', report, keys.get(day))).json).toMatchObject({ ok: true, upTo: 1 })
      const log = (await server.get(`days/${day}/log`)).json.entries
      const team = log.filter((e: { kind: string }) => e.kind === 'TeamReported')
      expect(team).toHaveLength(1)
      const now = Date.parse((await server.day(day)).clock!.now)
      expect(Math.abs(Date.parse(team[0].recordedAt) - now)).toBeLessThan(HOUR)
    }
    const running = (await server.get('days')).json.days.filter((d: { running: boolean }) => d.running)
    expect(running.map((d: { id: string }) => d.id)).toEqual(expect.arrayContaining([real, trial]))
    expect(Math.abs(Date.parse((await server.day(real)).clock!.now) - Date.now())).toBeLessThan(MINUTE)
    await server.post(`setup/days/${trial}/close`, { confirm: trial })
    expect(await server.day(real)).toMatchObject({ is: 'running' })
    await server.post(`setup/days/${real}/close`, { confirm: real })
  })
})

describe('what is asked of the setup', () => {
  it('P14: only by an administrator', async () => {
    for (const role of ['desk', 'rover', 'supervisor', 'receiving'] as const) {
      const token = await server.tokenOf(role)
      expect((await server.get('setup/days', token)).status).toBe(403)
      for (const [path, body] of [
        ['plans', { files: [], keep: true }],
        ['days/x/open', {}],
        ['days/x/practise', {}],
        ['days/x/speed', { speed: 1 }],
        ['days/x/fault', {}],
        ['days/x/close', { confirm: 'x' }],
        ['days/x/codes', {}],
      ] as const)
        expect([role, path, (await server.post(`setup/${path}`, body, token)).status]).toEqual([
          role,
          path,
          403,
        ])
    }
    expect((await server.get('setup/days', '')).status).toBe(401)
  })

  it('is answered by field where it can’t be read, and with 404 where there is no such day', async () => {
    const ask = async (path: string, body: unknown) =>
      (await server.post(`setup/${path}`, body)).json.problems
    expect(await ask('days/x/practise', { speed: 0, from: '25:00', simulated: 'yes' })).toEqual(
      expect.arrayContaining([
        expect.objectContaining({ path: 'speed' }),
        { path: 'from', message: expect.stringMatching(/^a time as HH:MM/) },
        expect.objectContaining({ path: 'simulated' }),
      ]),
    )
    expect(await ask('days/x/fault', { precinct: 'E-01', what: 'flood' })).toEqual([
      expect.objectContaining({ path: 'what', message: expect.stringContaining(trainerFaults[0]) }),
    ])
    expect(await ask('plans', { files: [{ name: 'plan.json', base64: '%%' }], keep: true })).toEqual([
      expect.objectContaining({ path: 'files.0.base64' }),
    ])
    for (const [path, body] of [
      ['open', {}],
      ['practise', { speed: 1, simulated: false }],
      ['speed', { speed: 1 }],
      ['fault', { precinct: 'E-01', what: 'help-asked' }],
      ['close', { confirm: 'nowhere' }],
      ['codes', {}],
    ] as const)
      expect([path, await server.post(`setup/days/nowhere/${path}`, body)]).toEqual([
        path,
        { status: 404, json: problems('day', 'There is no such day.') },
      ])
    expect((await server.get('setup/days/nowhere/refused')).status).toBe(404)
  })

  it('shows what was refused, by precinct and device, without the words that people wrote', async () => {
    const day = await server.keep(practice('2026-04-04'))
    await server.post(`setup/days/${day}/practise`, { speed: 1, simulated: false })
    const { json } = await server.post(`setup/days/${day}/codes`, { precincts: ['E-03'] })
    const key = await enrol(json.codes[0].code)
    await server.post(
      'reports',
      {
        reports: [
          {
            number: 1,
            at: '2026-04-04T12:00:00Z',
            kind: 'LineReported',
            body: { inLine: -1, note: 'A long word about nobody' },
          },
        ],
      },
      key,
    )
    const { refused } = refusedReports.parse((await server.get(`setup/days/${day}/refused`)).json)
    expect(refused).toMatchObject([
      { precinct: 'E-03', label: 'tablet', number: 1, kind: 'LineReported', aside: false },
    ])
    expect(refused[0]!.sent).not.toContain('nobody')
    expect(refused[0]!.sent).toContain('-1')
    const asDesk = await server.tokenOf('desk')
    const devices = async (as?: string) => (await server.get(`days/${day}/devices`, as)).json
    expect((await devices()).devices).toHaveLength(1)
    expect((await devices()).refused[0].sent).not.toContain('nobody')
    expect((await devices(asDesk)).refused[0].sent).toContain('nobody')
    expect((await server.get(`days/${day}/devices`, await server.tokenOf('rover'))).status).toBe(403)
    await server.post(`setup/days/${day}/close`, { confirm: day })
  })
})
