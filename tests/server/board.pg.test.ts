import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { fold } from '../../server/domain/day/fold.ts'
import { initialDay } from '../../server/domain/day/initial.ts'
import type { BoardRow } from '../../server/domain/day/row.ts'
import { rowOf } from '../../server/domain/day/rowOf.ts'
import { fromRfc3339, MINUTE, toRfc3339 } from '../../server/domain/time.ts'
import type { Patch } from '../../server/protocol/board.ts'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import {
  connectBoard,
  connectDevice,
  enrolDevice,
  type RunningSunup,
  runSunup,
  type TestBoard,
  type TestDevice,
  until,
} from '../support/runSunup.ts'

let running: RunningSunup
let device: TestDevice
let number = 0
beforeAll(async () => {
  // Half past nine of the plan's day: polls should have been open for three hours, so every precinct has its reason.
  running = await runSunup({
    url: await freshDatabase(),
    plan: aPlan(),
    startAt: fromRfc3339('2026-11-03T14:30:00Z'),
  })
  device = await connectDevice(running.url, await enrolDevice(running, 'E-01'))
  await until('every precinct is called', () => running.live.calls().length >= 3)
})
afterAll(async () => {
  device.close()
  await running.stop()
})

const say = (kind: string, body: Record<string, unknown>) => device.say(++number, kind, body)

/** A board that does what a browser does: the picture, then patches, each exactly where it stands. */
async function follow(board: TestBoard) {
  const snapshot = await board.snapshot()
  const rows = new Map<string, BoardRow>(snapshot.rows.map(r => [r.code, r]))
  const seen = { log: snapshot.log, cursor: snapshot.cursor, rows, gaps: 0, patches: 0 }
  board.socket.on('patch', (patch: Patch) => {
    seen.patches++
    if (patch.from !== seen.cursor) seen.gaps++
    for (const row of patch.rows) rows.set(row.code, row)
    seen.cursor = patch.to
  })
  return seen
}

/** The rows that the log up to a position makes, folded anew from what is stored. */
async function rowsAt(cursor: number): Promise<Map<string, BoardRow>> {
  const stored = await running.sunup.log.read(running.day, 0, cursor)
  const state = fold(
    initialDay(running.day, running.live.index),
    stored.map(s => s.entry),
    running.live.index,
  )
  return new Map(
    [...state.precincts.values()].map(p => [
      p.code,
      JSON.parse(JSON.stringify(rowOf(p, running.live.index))),
    ]),
  )
}

async function hashAt(position: number): Promise<string> {
  const [stored] = await running.sunup.log.read(running.day, position - 1, 1)
  return stored!.hash
}

describe('boards', () => {
  it('P4: after many patches every board equals the fold of the log up to its cursor', async () => {
    const boards = await Promise.all([connectBoard(running), connectBoard(running)])
    const seen = await Promise.all(boards.map(follow))
    await say('PollsOpened', {})
    for (let i = 1; i <= 60; i++) {
      await say('CountsReported', { checkedIn: i * 3, publicCount: { 'T-01': i * 3 - 1 } })
      if (i % 7 === 0) await say('EquipmentWentDown', { equipment: 'T-01' })
      if (i % 7 === 3) await say('EquipmentRestored', { equipment: 'T-01' })
      if (i % 10 === 0) await new Promise(resolve => setTimeout(resolve, 120))
    }
    const head = (await running.sunup.log.head(running.day)).position
    for (const s of seen) {
      await until('the board reaches the head', () => s.cursor >= head)
      expect(s.gaps).toBe(0)
      expect(s.patches).toBeGreaterThan(2)
      expect(Object.fromEntries(s.rows)).toEqual(Object.fromEntries(await rowsAt(s.cursor)))
    }
    for (const board of boards) board.close()
  })

  it('P5: a board that was away comes back with its cursor and reaches the head by patches alone', async () => {
    const board = await connectBoard(running)
    const seen = await follow(board)
    board.socket.disconnect()
    await say('LineReported', { inLine: 17 })
    board.socket.connect()
    await until('the socket is back', () => board.socket.connected)
    const answer = await board.subscribe(seen.cursor, seen.log, await hashAt(seen.cursor))
    expect(answer).toMatchObject({ ok: true, patches: [{ from: seen.cursor }] })
    const [patch] = (answer as { patches: Patch[] }).patches
    expect(patch!.rows.map(r => r.code)).toContain('E-01')
    expect(patch!.rows.find(r => r.code === 'E-01')!.inLine!.is).toBe(17)
    board.close()
  })

  it('P5: a cursor of another log is answered with a fresh picture', async () => {
    const board = await connectBoard(running)
    expect(await board.subscribe(3, 'another:0123456789abcdef')).toMatchObject({
      ok: true,
      snapshot: { cursor: expect.any(Number) },
    })
    const { hash } = running.live.head()
    expect(await board.subscribe(1_000_000, running.live.log(), hash)).toMatchObject({
      ok: true,
      snapshot: {},
    })
    board.close()
  })

  it('P4, P5: a cursor whose entry is another one in this log, or is not told, is answered with a fresh picture', async () => {
    const board = await connectBoard(running)
    const log = running.live.log()
    expect(await board.subscribe(3, log, await hashAt(3))).toMatchObject({ patches: [{ from: 3 }] })
    expect(await board.subscribe(3, log, await hashAt(2))).toMatchObject({ snapshot: {} })
    expect(await board.subscribe(3, log)).toMatchObject({ snapshot: {} })
    expect(await board.subscribe(0, log, '0'.repeat(64))).toMatchObject({ snapshot: {} })
    board.close()
  })
})

describe('commands', () => {
  it('of two operators who take one call exactly one wins, and the other is told who has it', async () => {
    for (let round = 0; round < 20; round++) {
      const imre = await connectBoard(running)
      const odile = await connectBoard(running, { id: 'p-odile', name: 'Odile', role: 'desk' })
      await Promise.all([imre.snapshot(), odile.snapshot()])
      const answers = await Promise.all([
        imre.command('TakeCall', { precincts: ['E-02'] }),
        odile.command('TakeCall', { precincts: ['E-02'] }),
      ])
      expect(answers.filter(a => a.ok)).toHaveLength(1)
      const lost = answers.find(a => !a.ok)
      expect(lost).toMatchObject({
        refusal: { reason: 'already-taken', by: answers[0]!.ok ? 'Imre' : 'Odile' },
      })
      const winner = answers[0]!.ok ? imre : odile
      expect(await winner.command('HandOverCall', { precincts: ['E-02'] })).toMatchObject({ ok: true })
      imre.close()
      odile.close()
    }
  })

  it('P2: a command sent again with its id is done once', async () => {
    const board = await connectBoard(running)
    await board.snapshot()
    const id = randomUUID()
    const first = await board.command('AddNote', { precinct: 'E-03', note: 'key is with the custodian' }, id)
    const again = await board.command('AddNote', { precinct: 'E-03', note: 'key is with the custodian' }, id)
    expect(first).toMatchObject({ ok: true })
    expect(again).toMatchObject({ ok: true })
    const notes = (await running.sunup.log.readPrecinct(running.day, 'E-03', 50)).filter(
      s => s.entry.kind === 'NoteAdded',
    )
    expect(notes).toHaveLength(1)
    expect(notes[0]!.detail).toEqual({ note: 'key is with the custodian' })
    expect(notes[0]!.text).not.toContain('custodian')
    board.close()
  })

  it('writes what a caller says as the same entries, with the time it happened, all or nothing', async () => {
    const board = await connectBoard(running)
    await board.snapshot()
    const at = toRfc3339(running.live.now() - 9 * MINUTE)
    const bad = await board.command('RecordReports', {
      precinct: 'E-03',
      via: 'caller',
      spoke: 'precinct lead',
      reports: [
        { kind: 'PollsOpened', at, body: {} },
        { kind: 'CountsReported', at, body: { checkedIn: 'many' } },
      ],
    })
    expect(bad).toMatchObject({
      ok: false,
      refusal: { reason: 'invalid', problems: [{ path: 'reports.1.body.checkedIn' }] },
    })
    expect(running.live.rows().find(r => r.code === 'E-03')!.standing).toBe('not-heard')
    const good = await board.command('RecordReports', {
      precinct: 'E-03',
      via: 'caller',
      spoke: 'precinct lead',
      reports: [
        { kind: 'PollsOpened', at, body: {} },
        { kind: 'CountsReported', at, body: { checkedIn: 31 } },
      ],
    })
    expect(good).toMatchObject({ ok: true })
    const row = running.live.rows().find(r => r.code === 'E-03')!
    expect(row).toMatchObject({ standing: 'open', checkedIn: { is: 31, asOf: fromRfc3339(at) } })
    const { entry } = (await running.sunup.log.readPrecinct(running.day, 'E-03', 20)).find(
      s => s.entry.kind === 'PollsOpened',
    )!
    expect(entry.origin).toMatchObject({ via: 'caller', spoke: 'precinct lead', wrote: 'p-imre' })
    expect(toRfc3339(entry.occurredAt)).toBe(at)
    board.close()
  })

  it('a call put off steps back and comes back by itself; one logged as solved leaves the operator', async () => {
    const board = await connectBoard(running)
    await board.snapshot()
    const lineOf = () => running.live.calls().find(c => c.precincts.includes('E-02'))!
    const until = toRfc3339(running.live.now() + 20 * MINUTE)
    expect(await board.command('DeferCall', { precincts: ['E-02'], until })).toMatchObject({ ok: true })
    expect(lineOf()).toMatchObject({ steppedBack: true, call: { backUntil: fromRfc3339(until) } })
    expect(
      await board.command('DeferCall', { precincts: ['E-02'], until: toRfc3339(running.live.now() - 1) }),
    ).toMatchObject({
      ok: false,
      refusal: { problems: [{ path: 'until' }] },
    })
    await board.command('TakeCall', { precincts: ['E-02'] })
    expect(lineOf().call.takenBy).toBe('p-imre')
    expect(
      await board.command('LogCall', {
        precincts: ['E-02'],
        outcome: 'solved',
        note: 'opened with the slot',
      }),
    ).toMatchObject({ ok: true })
    expect(lineOf().call).toMatchObject({ takenBy: null, lastOutcome: 'solved' })
    board.close()
  })

  it('refuses what it can’t read by field', async () => {
    const board = await connectBoard(running)
    await board.snapshot()
    expect(await board.command('TakeCall', { precincts: [] })).toMatchObject({
      ok: false,
      refusal: { reason: 'invalid', problems: [{ path: 'body.precincts' }] },
    })
    expect(await board.command('TakeCall', { precincts: ['X-99'] })).toMatchObject({
      ok: false,
      refusal: { reason: 'unknown-precinct' },
    })
    expect(await board.command('Vote' as never, {})).toMatchObject({
      ok: false,
      refusal: { reason: 'invalid' },
    })
    board.close()
  })

  it('P14: a rover sees the board and commands nothing; contacts are for those who call', async () => {
    const ana = { id: 'p-ana', name: 'Ana', role: 'rover' as const }
    const board = await connectBoard(running, ana)
    const snapshot = await board.snapshot()
    expect(JSON.stringify(snapshot)).not.toContain('Lead one')
    for (const [kind, body] of [
      ['TakeCall', { precincts: ['E-01'] }],
      [
        'RecordReports',
        { precinct: 'E-01', via: 'caller', spoke: 'lead', reports: [{ kind: 'PollsOpened', body: {} }] },
      ],
      ['IssueCode', { precinct: 'E-01' }],
      ['AddNote', { precinct: 'E-01', note: 'no' }],
    ] as const)
      expect(await board.command(kind, body)).toMatchObject({ ok: false, refusal: { reason: 'not-allowed' } })
    const token = await running.sunup.access.makeToken(ana)
    const detail = async (bearer: string) =>
      (
        await fetch(`${running.url}/api/v1/days/${running.day}/precincts/E-01`, {
          headers: { Authorization: `Bearer ${bearer}` },
        })
      ).json()
    expect(await detail(token)).toMatchObject({ contacts: [] })
    const desk = await running.sunup.access.makeToken({ id: 'p-imre', name: 'Imre', role: 'desk' })
    expect(await detail(desk)).toMatchObject({ contacts: [{ name: 'Lead one' }] })
    board.close()
  })
})

describe('programs', () => {
  it('read the board, the calls and the log with a bearer token', async () => {
    const token = await running.sunup.access.makeToken({ id: 'p-imre', name: 'Imre', role: 'desk' })
    const get = async (path: string) => {
      const response = await fetch(`${running.url}/api/v1${path}`, {
        headers: { Authorization: `Bearer ${token}` },
      })
      return { status: response.status, json: (await response.json()) as any }
    }
    expect((await get('/days')).json.days).toMatchObject([{ id: running.day, kind: 'practice' }])
    const board = (await get(`/days/${running.day}/board`)).json
    expect(board.precincts).toHaveLength(3)
    expect(board.precincts[0]).toMatchObject({ code: 'E-01', name: 'Harbor', standing: 'open' })
    const { calls } = (await get(`/days/${running.day}/calls`)).json
    // Which precinct comes first, and with how many reasons, goes by the minute at which this runs.
    expect(calls[0]).toMatchObject({ tier: expect.any(String) })
    expect(calls[0].reasons[0]).toMatchObject({
      rule: expect.any(String),
      since: expect.any(String),
      text: expect.any(String),
      ask: expect.any(String),
    })
    const { entries } = (await get(`/days/${running.day}/log?after=2&limit=3`)).json
    expect(entries.map((e: { position: number }) => e.position)).toEqual([3, 4, 5])
    expect((await get(`/days/${running.day}/log?limit=many`)).status).toBe(400)
    expect((await get('/days/nowhere/board')).status).toBe(404)
    expect((await fetch(`${running.url}/api/v1/days`)).status).toBe(401)
  })
})
