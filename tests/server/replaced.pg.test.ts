import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { DEVICE_REPLACED } from '../../server/domain/log/aside.ts'
import { fromRfc3339, MINUTE } from '../../server/domain/time.ts'
import type { AsideAnswer } from '../../server/protocol/aside.ts'
import type { CommandAnswer } from '../../server/protocol/command.ts'
import type { DevicePlan } from '../../server/protocol/device.ts'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import {
  connectBoard,
  connectDevice,
  enrolDevice,
  type RunningSunup,
  runSunup,
  type TestBoard,
  until,
} from '../support/runSunup.ts'

/** A tablet is replaced in mid-day, and the old one revives: over real sockets, on a real database. */
let running: RunningSunup
let desk: TestBoard
let token: string
beforeAll(async () => {
  running = await runSunup({
    url: await freshDatabase(),
    plan: aPlan(),
    startAt: fromRfc3339('2026-11-03T15:00:00Z'),
  })
  // The day has been open for more than an hour, so that nothing happens before it opened.
  running.clock.setSpeed(36_000)
  await until('an hour of the day is over', () => running.live.now() > running.live.openedAt() + 60 * MINUTE)
  running.clock.setSpeed(1)
  running.clock.forgetSpeeds()
  desk = await connectBoard(running)
  await desk.subscribe()
  token = await running.sunup.access.makeToken({ id: 'p-imre', name: 'Imre', role: 'desk' })
})
afterAll(async () => {
  desk?.close()
  await running?.stop()
})

async function idOf(key: string): Promise<string> {
  return (await running.sunup.access.deviceOfKey(key))!.id
}

async function replace(precinct: string, replaces: string): Promise<string> {
  const issued = await desk.command('IssueCode', { precinct, replaces })
  if (!issued.ok) throw new Error(issued.refusal.message)
  const response = await fetch(`${running.url}/api/v1/enrol`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ code: issued.result!.code, label: 'spare' }),
  })
  return ((await response.json()) as { key: string }).key
}

async function aside(precinct: string): Promise<AsideAnswer> {
  const response = await fetch(`${running.url}/api/v1/days/${running.day}/precincts/${precinct}/aside`, {
    headers: { Authorization: `Bearer ${token}` },
  })
  expect(response.status).toBe(200)
  return (await response.json()) as AsideAnswer
}

const named = ({ device, number, content }: AsideAnswer['reports'][number]) => ({ device, number, content })
const rowOf = (precinct: string) => running.live.rows().find(r => r.code === precinct)!
const entriesOf = async (precinct: string) =>
  (await running.sunup.log.readPrecinct(running.day, precinct, 500)).reverse().map(s => s.entry)
const ago = (minutes: number) => new Date(Date.now() - minutes * MINUTE).toISOString()
const line = (number: number, inLine: number, at = new Date().toISOString()) => ({
  number,
  at,
  kind: 'LineReported',
  body: { inLine },
})
const refusal = (answer: CommandAnswer) => (answer.ok ? null : answer.refusal.reason)

describe('a tablet that was replaced', () => {
  it('P1 P2 P14: its late backlog is kept aside, and is in the day once what the desk accepts', async () => {
    const oldKey = await enrolDevice(running, 'E-01')
    const oldId = await idOf(oldKey)
    const before = await connectDevice(running.url, oldKey)
    const first = line(1, 4, ago(40))
    expect(await before.report([first])).toMatchObject({ ok: true, upTo: 1, refused: [] })
    before.close()

    const newKey = await replace('E-01', oldId)
    expect((await entriesOf('E-01')).at(-1)).toMatchObject({
      kind: 'DeviceEnrolled',
      body: { device: await idOf(newKey), replaces: oldId },
    })
    const fresh = await connectDevice(running.url, newKey)
    const plan = new Promise<DevicePlan>(resolve => fresh.socket.once('plan', resolve))
    fresh.socket.disconnect().connect()
    expect((await plan).has.inLine).toBe(4)
    expect(await fresh.say(1, 'LineReported', { inLine: 9 })).toMatchObject({ ok: true, upTo: 1 })

    await until('the new tablet is heard', () => rowOf('E-01').inLine?.is === 9)
    const row = rowOf('E-01')
    const old = await connectDevice(running.url, oldKey)
    expect(await old.heartbeat({ device: { waiting: 5 } })).toMatchObject({
      ok: false,
      problems: [{ path: DEVICE_REPLACED }],
    })
    const waiting = [
      line(2, 30, ago(30)),
      { number: 3, at: ago(25), kind: 'CountsReported', body: { checkedIn: 51, asOf: ago(26) } },
      { number: 4, at: ago(20), kind: 'HelpRequested', body: { about: 'supplies', what: 'pens' } },
      line(5, 28, ago(15)),
      line(6, 26, ago(10)),
    ]
    const answer = await old.report(waiting)
    expect(answer).toMatchObject({ ok: true, upTo: 6 })
    if (!answer.ok) throw new Error('not taken')
    expect(answer.refused.map(r => [r.number, r.problems.map(p => p.path)])).toEqual(
      [2, 3, 4, 5, 6].map(number => [number, [DEVICE_REPLACED]]),
    )
    expect(await old.report(waiting)).toEqual(answer)
    expect(await old.report([first])).toEqual({ ok: true, upTo: 6, refused: [] })
    const untilTold = (open: number | null) =>
      until(`the desk is told of ${open}`, () => {
        const reason = rowOf('E-01').reasons.find(r => r.rule === 'kept-aside')
        return open === null ? reason === undefined : reason?.evidence.ofEach?.toString() === String(open)
      })
    // The day has nothing of it but that there is something, said once.
    await untilTold(5)
    const keptAside = (await entriesOf('E-01')).filter(e => e.kind === 'ReportsKeptAside')
    expect(keptAside.map(e => [e.precinct, e.body])).toEqual([['E-01', { device: oldId, howMany: 5 }]])
    const { reasons: _, touchedAt: __, ...same } = row
    expect(rowOf('E-01')).toMatchObject(same)

    const { open, reports } = await aside('E-01')
    expect(open).toBe(5)
    expect(reports.map(r => [r.number, r.kind, r.why, r.problems])).toEqual([
      [2, 'LineReported', 'replaced', []],
      [3, 'CountsReported', 'replaced', []],
      [4, 'HelpRequested', 'replaced', []],
      [5, 'LineReported', 'replaced', []],
      [6, 'LineReported', 'replaced', []],
    ])
    expect(reports[2]).toMatchObject({ label: 'test tablet', detail: { what: 'pens' } })
    const accepted = { precinct: 'E-01', reports: reports.slice(0, 3).map(named) }
    expect(await desk.command('AcceptAside', accepted)).toMatchObject({ ok: true })
    const leave = { precinct: 'E-01', reports: reports.slice(3).map(named) }
    expect(await desk.command('LeaveAside', leave)).toMatchObject({ ok: true })

    const mine = async () => (await entriesOf('E-01')).filter(e => e.source.startsWith(`aside:${oldId}:`))
    const written = await mine()
    expect(written.map(e => [e.number, e.kind])).toEqual([
      [2, 'LineReported'],
      [3, 'CountsReported'],
      [4, 'HelpRequested'],
      [5, 'AsideLeft'],
      [6, 'AsideLeft'],
    ])
    const minutesBefore = (at: number) => (running.live.now() - at) / MINUTE
    const [said, counted, asked, left] = written
    for (const [entry, minutes] of [
      [said, 30],
      [counted, 25],
      [asked, 20],
    ] as const) {
      expect(minutesBefore(entry!.occurredAt)).toBeCloseTo(minutes, 0)
      expect(entry!.origin).toMatchObject({ via: 'device', acceptedBy: 'p-imre' })
    }
    const { asOf } = counted!.body as { asOf: string }
    expect(minutesBefore(fromRfc3339(asOf))).toBeCloseTo(26, 0)
    expect(left!.origin).toMatchObject({ via: 'desk', wrote: 'p-imre' })
    // What is newer stands, what nobody else said is there, and it is no word from there: nobody was heard.
    expect(rowOf('E-01')).toMatchObject({ inLine: { is: 9 }, checkedIn: { is: 51 }, heardAt: row.heardAt })
    expect(await aside('E-01')).toEqual({ open: 0, reports: [] })
    await untilTold(null)

    expect(await desk.command('AcceptAside', accepted)).toMatchObject({ ok: true })
    expect(await desk.command('LeaveAside', accepted)).toMatchObject({
      refusal: { reason: 'other-state', by: 'Imre' },
    })
    expect(await old.report(waiting)).toEqual(answer)
    expect(await mine()).toEqual(written)
    const kept = await running.sunup.keeper.refused(running.day)
    expect(
      kept!.refused.filter(r => r.device === oldId).map(r => [r.number, r.aside, r.answer?.is, r.answer?.by]),
    ).toEqual([
      [6, true, 'left', 'Imre'],
      [5, true, 'left', 'Imre'],
      [4, true, 'accepted', 'Imre'],
      [3, true, 'accepted', 'Imre'],
      [2, true, 'accepted', 'Imre'],
    ])
    expect(await running.sunup.log.verify(running.day)).toMatchObject({ ok: true })
    for (const device of [old, fresh]) device.close()
  })

  it('P14: while it is linked up, it is replaced at once, and what it says next is kept aside', async () => {
    const key = await enrolDevice(running, 'E-02')
    const old = await connectDevice(running.url, key)
    expect(await old.say(1, 'LineReported', { inLine: 3 })).toMatchObject({ ok: true, refused: [] })
    const cutOff = new Promise(resolve => old.socket.once('disconnect', resolve))
    await replace('E-02', await idOf(key))
    await cutOff
    const again = await connectDevice(running.url, key)
    expect(await again.say(2, 'LineReported', { inLine: 77 })).toMatchObject({
      upTo: 2,
      refused: [{ number: 2, problems: [{ path: DEVICE_REPLACED }] }],
    })
    expect(rowOf('E-02').inLine?.is).toBe(3)
    const over = await fetch(`${running.url}/api/v1/heartbeat`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json', Authorization: `Bearer ${key}` },
      body: JSON.stringify({ counts: { inLine: { is: 78, asOf: ago(0) } } }),
    })
    expect(await over.json()).toMatchObject({ ok: false, problems: [{ path: DEVICE_REPLACED }] })
    expect(rowOf('E-02').inLine?.is).toBe(3)
    expect(rowOf('E-02').device?.id).not.toBe(await idOf(key))
    again.close()
  })

  it('what can’t be an entry is told why, and other content under a used number may be accepted', async () => {
    const key = await enrolDevice(running, 'E-03')
    const old = await connectDevice(running.url, key)
    await old.report([line(1, 3, ago(9))])
    expect(await old.report([line(1, 8, ago(5))])).toMatchObject({
      refused: [{ number: 1, problems: [{ path: 'number' }] }],
    })
    await replace('E-03', await idOf(key))
    const again = await connectDevice(running.url, key)
    await again.report([line(2, -4), { number: 3, at: ago(1), kind: 'VotesCounted', body: {} }])
    const { reports } = await aside('E-03')
    expect(reports.map(r => [r.number, r.why, r.problems.map(p => p.path)])).toEqual([
      [1, 'number-reused', []],
      [2, 'replaced', ['body.inLine']],
      [3, 'replaced', ['kind']],
    ])
    const position = (await running.sunup.log.head(running.day)).position
    const all = await desk.command('AcceptAside', { precinct: 'E-03', reports: reports.map(named) })
    expect(all).toMatchObject({
      refusal: { reason: 'invalid', problems: [{ path: 'reports.1.body.inLine' }, {}] },
    })
    expect((await running.sunup.log.head(running.day)).position).toBe(position)
    const reused = { precinct: 'E-03', reports: [named(reports[0]!)] }
    expect(await desk.command('AcceptAside', reused)).toMatchObject({ ok: true })
    expect(rowOf('E-03').inLine?.is).toBe(8)
    expect((await aside('E-03')).open).toBe(2)
    again.close()
  })

  it('P14: the desk answers for reports of the precinct that it names, and a code replaces a device of it', async () => {
    const [own] = (await aside('E-02')).reports
    const elsewhere = { precinct: 'E-01', reports: [named(own!)] }
    expect(refusal(await desk.command('AcceptAside', elsewhere))).toBe('invalid')
    const other = own!.device
    expect(refusal(await desk.command('IssueCode', { precinct: 'E-01', replaces: other }))).toBe('invalid')
    expect(refusal(await desk.command('IssueCode', { precinct: 'E-02', replaces: other }))).toBe(
      'other-state',
    )
    const lost = await idOf(await enrolDevice(running, 'E-02'))
    await desk.command('RevokeDevice', { device: lost })
    expect(refusal(await desk.command('IssueCode', { precinct: 'E-02', replaces: lost }))).toBe('other-state')
  })
})
