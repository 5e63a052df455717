import { io } from 'socket.io-client'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { fromRfc3339 } from '../../server/domain/time.ts'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import {
  connectDevice,
  enrolDevice,
  type RunningSunup,
  runSunup,
  type TestDevice,
  until,
} from '../support/runSunup.ts'

let running: RunningSunup
beforeAll(async () => {
  running = await runSunup({
    url: await freshDatabase(),
    plan: aPlan(),
    startAt: fromRfc3339('2026-11-03T15:00:00Z'),
    deviceRate: { perSecond: 50, burst: 200 },
  })
  // The day has been open for more than an hour when the tests begin.
  running.clock.setSpeed(36_000)
  await until('an hour of the day is over', () => running.live.now() > running.live.openedAt() + 3_600_000)
  running.clock.setSpeed(1)
  running.clock.forgetSpeeds()
})
afterAll(() => running.stop())

async function tablet(precinct: string): Promise<TestDevice & { key: string }> {
  const key = await enrolDevice(running, precinct)
  return { key, ...(await connectDevice(running.url, key)) }
}

async function entriesOf(precinct: string) {
  return (await running.sunup.log.readPrecinct(running.day, precinct, 500)).reverse()
}

async function post(path: string, key: string, body: unknown) {
  const response = await fetch(`${running.url}${path}`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json', Authorization: `Bearer ${key}` },
    body: JSON.stringify(body),
  })
  return { status: response.status, json: (await response.json()) as Record<string, unknown> }
}

const line = (number: number, inLine: number, at = new Date().toISOString()) => ({
  number,
  at,
  kind: 'LineReported',
  body: { inLine },
})

describe('reports over the device link', () => {
  it('P1: an acknowledged fact is in the log, with its source and number', async () => {
    const device = await tablet('E-01')
    expect(await device.say(1, 'LineReported', { inLine: 4 })).toEqual({ ok: true, upTo: 1, refused: [] })
    const stored = (await entriesOf('E-01')).at(-1)!
    expect(stored.entry).toMatchObject({
      kind: 'LineReported',
      number: 1,
      precinct: 'E-01',
      body: { inLine: 4 },
      origin: { via: 'device' },
    })
    device.close()
  })

  it('P2: the same report sent again changes nothing and is acknowledged again', async () => {
    const device = await tablet('E-01')
    const report = line(1, 9)
    const sentAt = new Date().toISOString()
    const first = await device.report([report], sentAt)
    const head = await running.sunup.log.head(running.day)
    const again = await device.report([report], new Date().toISOString())
    const twice = await device.report([report, report])
    expect([again, twice]).toEqual([first, first])
    const known = await entriesOf('E-01')
    expect(
      known.filter(s => s.entry.kind === 'LineReported' && s.entry.position > head.position),
    ).toHaveLength(0)
    device.close()
  })

  it('answers a gap with the number it wants next and takes nothing after it', async () => {
    const device = await tablet('E-01')
    expect(await device.report([line(1, 1), line(2, 2), line(5, 5)])).toEqual({ ok: false, upTo: 2, next: 3 })
    expect(await device.report([line(3, 3), line(4, 4), line(5, 5)])).toMatchObject({ ok: true, upTo: 5 })
    device.close()
  })

  it('refuses one by one with path and message, takes the others, and keeps what was refused', async () => {
    const device = await tablet('E-02')
    const answer = await device.report([
      line(1, 3),
      { number: 2, at: new Date().toISOString(), kind: 'LineReported', body: { inLine: -4 } },
      { number: 3, at: new Date().toISOString(), kind: 'VotesCounted', body: {} },
      line(4, 6),
    ])
    expect(answer).toMatchObject({
      ok: true,
      upTo: 4,
      refused: [
        { number: 2, problems: [{ path: 'body.inLine' }] },
        { number: 3, problems: [{ path: 'kind' }] },
      ],
    })
    const kept = await running.sunup.days.refused(running.day, 10)
    expect(kept.map(r => r.number).sort()).toEqual([2, 3])
    const again = await device.report([
      { number: 2, at: new Date().toISOString(), kind: 'LineReported', body: { inLine: 4 } },
    ])
    expect(again).toMatchObject({ ok: true, upTo: 4, refused: [{ number: 2 }] })
    device.close()
  })

  it('refuses a number already used with other content as number-reused and keeps it aside', async () => {
    const device = await tablet('E-03')
    await device.report([line(1, 3)])
    const answer = await device.report([line(1, 77)])
    expect(answer).toMatchObject({
      ok: true,
      upTo: 1,
      refused: [
        { number: 1, problems: [{ path: 'number', message: expect.stringContaining('number-reused') }] },
      ],
    })
    const kept = await running.sunup.days.refused(running.day, 50)
    expect(kept.filter(r => r.aside).map(r => JSON.parse(r.sent).body.inLine)).toContain(77)
    device.close()
  })

  it('says what is wrong with a request that can’t be read, and takes none of it', async () => {
    const device = await tablet('E-03')
    const answer = await device.report([line(1, 3), { number: 'two' }])
    expect(answer).toMatchObject({ ok: false, upTo: 0 })
    expect(JSON.stringify(answer)).toContain('reports.1.number')
    expect(await device.report([])).toEqual({ ok: true, upTo: 0, refused: [] })
    device.close()
  })

  it('refuses a report over 8 KiB by itself', async () => {
    const device = await tablet('E-03')
    const answer = await device.report([
      line(1, 1),
      {
        number: 2,
        at: new Date().toISOString(),
        kind: 'IncidentNoted',
        body: { category: 'other', what: 'x'.repeat(9_000) },
      },
    ])
    expect(answer).toMatchObject({ ok: true, upTo: 2, refused: [{ number: 2 }] })
    device.close()
  })

  it('gives the same answers over HTTP as on the socket', async () => {
    const key = await enrolDevice(running, 'E-01')
    expect(await post('/api/v1/reports', key, { reports: [] })).toEqual({
      status: 200,
      json: { ok: true, upTo: 0, refused: [] },
    })
    const sentAt = new Date().toISOString()
    expect(await post('/api/v1/reports', key, { sentAt, reports: [line(1, 2), line(3, 2)] })).toEqual({
      status: 409,
      json: { ok: false, upTo: 1, next: 2 },
    })
    const beat = await post('/api/v1/heartbeat', key, { sentAt, device: { battery: 71 } })
    expect(beat).toMatchObject({ status: 200, json: { ok: true, upTo: 1 } })
    const device = await connectDevice(running.url, key)
    expect(await device.report([line(2, 5)])).toMatchObject({ ok: true, upTo: 2 })
    device.close()
  })

  it('slows a device that floods with retryAfter, consumes no number, and others don’t feel it', async () => {
    const flooding = await tablet('E-01')
    const other = await tablet('E-02')
    const batch = Array.from({ length: 150 }, (_, i) => line(i + 1, i % 20))
    expect(await flooding.report(batch)).toMatchObject({ ok: true, upTo: 150 })
    const next = Array.from({ length: 150 }, (_, i) => line(i + 151, i % 20))
    const slowed = await flooding.report(next)
    expect(slowed).toMatchObject({ ok: false, upTo: 150, retryAfter: expect.any(Number) })
    expect(await other.report([line(1, 3)])).toMatchObject({ ok: true, upTo: 1 })
    await new Promise(resolve => setTimeout(resolve, (slowed as { retryAfter: number }).retryAfter + 20))
    expect(await flooding.report(next)).toMatchObject({ ok: true, upTo: 300 })
    flooding.close()
    other.close()
  })
})

describe('heartbeats', () => {
  it('P1: one that says something new is in the log; an unchanged one is heard and not written', async () => {
    const device = await tablet('E-03')
    const asOf = new Date().toISOString()
    const says = { counts: { checkedIn: { is: 12, asOf } }, status: { slot: { is: 'locked', asOf } } }
    expect(await device.heartbeat({ sentAt: asOf, ...says })).toMatchObject({ ok: true })
    const before = (await running.sunup.log.head(running.day)).position
    expect(await device.heartbeat({ sentAt: new Date().toISOString(), ...says })).toMatchObject({ ok: true })
    await device.heartbeat({
      sentAt: new Date().toISOString(),
      ...says,
      counts: { checkedIn: { is: 14, asOf: new Date().toISOString() } },
    })
    const written = (await running.sunup.log.read(running.day, before, 50))
      .map(s => s.entry)
      .filter(e => e.kind === 'HeartbeatReceived')
    expect(written).toHaveLength(1)
    expect(written[0]!.body).toMatchObject({ counts: { checkedIn: { is: 14 } } })
    expect(written[0]!.body).not.toHaveProperty('status')
    device.close()
  })

  it('refuses one it can’t read by path', async () => {
    const device = await tablet('E-03')
    const answer = await device.heartbeat({ sentAt: 'yesterday', device: { battery: 300 } })
    expect(answer).toMatchObject({ ok: false })
    expect(JSON.stringify(answer)).toContain('device.battery')
    device.close()
  })
})

describe('clocks', () => {
  it.each([
    ['three hours ahead', 3 * 3_600_000],
    ['two days behind', -48 * 3_600_000],
  ])('P7: a device clock %s can’t misdate a report; the skew is measured and shown', async (_, off) => {
    const device = await tablet('E-01')
    const now = Date.now()
    const byDevice = (ago: number) => new Date(now + off - ago).toISOString()
    await device.report(
      [
        {
          number: 1,
          at: byDevice(600_000),
          kind: 'CountsReported',
          body: { checkedIn: 40, asOf: byDevice(900_000) },
        },
      ],
      byDevice(0),
    )
    const { entry } = (await entriesOf('E-01')).at(-1)!
    expect(entry.recordedAt - entry.occurredAt).toBe(600_000)
    expect(entry.recordedAt - fromRfc3339((entry.body as { asOf: string }).asOf)).toBe(900_000)
    expect(entry.origin.skewSeconds).toBeCloseTo(off / 1_000, -1)
    expect(running.live.rows().find(r => r.code === 'E-01')!.device!.skewSeconds).toBeCloseTo(off / 1_000, -1)
    device.close()
  })

  it('P7: a time before the day opened is set to its opening, and one in the device’s future to now', async () => {
    const device = await tablet('E-02')
    const now = Date.now()
    const text = (ago: number) => new Date(now - ago).toISOString()
    await device.report([line(1, 1, text(10 * 24 * 3_600_000)), line(2, 1, text(-3_600_000))], text(0))
    const [long, ahead] = (await entriesOf('E-02')).slice(-2).map(s => s.entry)
    expect(long!.occurredAt).toBe(running.live.openedAt())
    expect(ahead!.occurredAt).toBe(ahead!.recordedAt)
    device.close()
  })

  it('P7: without sentAt it is marked unmeasured and stands at its recording', async () => {
    const key = await enrolDevice(running, 'E-02')
    await post('/api/v1/reports', key, { reports: [line(1, 1, '2020-01-01T00:00:00Z')] })
    const { entry } = (await entriesOf('E-02')).at(-1)!
    expect(entry.origin.unmeasured).toBe(true)
    expect(entry.occurredAt).toBe(entry.recordedAt)
  })
})

describe('keys', () => {
  it('P14: a device speaks for its own precinct alone and sees no board, no calls and no log', async () => {
    const key = await enrolDevice(running, 'E-03')
    await post('/api/v1/reports', key, { reports: [{ ...line(1, 8), precinct: 'E-01' }] })
    await post('/api/v1/reports', key, { reports: [line(1, 8)] })
    const mine = (await running.sunup.log.read(running.day, 0, 1_000))
      .filter(s => s.entry.number === 1 && s.entry.kind === 'LineReported')
      .at(-1)!
    expect(mine.entry.precinct).toBe('E-03')
    for (const path of ['board', 'calls', 'log', 'precincts/E-01', 'devices']) {
      const response = await fetch(`${running.url}/api/v1/days/${running.day}/${path}`, {
        headers: { Authorization: `Bearer ${key}` },
      })
      expect(response.status, path).toBe(401)
    }
    const board = io(`${running.url}/board`, {
      auth: { token: key },
      transports: ['websocket'],
      forceNew: true,
      reconnection: false,
    })
    await expect(
      new Promise<void>((resolve, reject) =>
        board.once('connect', () => resolve()).once('connect_error', reject),
      ),
    ).rejects.toThrow('not-signed-in')
  })

  it('P14: an unknown key is refused, and a revoked one at once: its socket closes and HTTP says 401', async () => {
    await expect(connectDevice(running.url, 'x'.repeat(43))).rejects.toThrow('key-refused')
    const device = await tablet('E-01')
    let closed = false
    device.socket.on('disconnect', () => {
      closed = true
    })
    const known = (await running.sunup.access.devicesOf(running.day)).at(-1)!
    await running.sunup.access.revoke(known.id)
    await until('the socket is closed', () => closed, 2_000)
    expect((await post('/api/v1/reports', device.key, { reports: [] })).status).toBe(401)
    device.close()
  })

  it('P14: an enrolment code works once', async () => {
    const code = await running.sunup.access.issueCode(running.day, 'E-01')
    const enrol = () =>
      fetch(`${running.url}/api/v1/enrol`, {
        method: 'POST',
        headers: { 'Content-Type': 'application/json' },
        body: JSON.stringify({ code }),
      })
    const answers = await Promise.all([enrol(), enrol(), enrol()])
    expect(answers.map(a => a.status).sort()).toEqual([200, 403, 403])
    const stored = (await entriesOf('E-01')).map(s => s.entry.kind)
    expect(stored).toContain('DeviceEnrolled')
  })
})
