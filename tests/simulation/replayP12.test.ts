import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { foldAsHappened, isVerdict } from '../../server/domain/day/fold.ts'
import { initialDay } from '../../server/domain/day/initial.ts'
import type { BoardRow, CallLine } from '../../server/domain/day/row.ts'
import { rowOf } from '../../server/domain/day/rowOf.ts'
import type { BoardForecasts } from '../../server/domain/forecast/onBoard.ts'
import type { Stored } from '../../server/domain/log/dayLog.ts'
import type { Plan } from '../../server/domain/plan/plan.ts'
import { instantOf } from '../../server/domain/plan/zone.ts'
import { MINUTE, toRfc3339 } from '../../server/domain/time.ts'
import type { Patch, Snapshot } from '../../server/protocol/board.ts'
import { checkoutFolder } from '../../server/where.ts'
import { connectBoard, IMRE, type RunningSunup, type TestBoard, until } from '../support/runSunup.ts'
import { type SimulatedDay, simulateDay } from '../support/simulatedDay.ts'

/**
 * A practice morning of the simulator on the real server, watched by a board that notes everything it shows; then
 * the record is asked for each of those moments. Calls are put off on the way, so that the list changes by itself.
 */
const SPEED = 900
type Noted = { cursor: number; now: number; rows: Map<string, BoardRow>; calls: CallLine[] }
const noted: Noted[] = []
/** Every forecast that the board was sent: of a patch the precincts that changed. */
const foretold: BoardForecasts[] = []
let day: SimulatedDay
let plan: Plan
let running: RunningSunup
let watching: TestBoard
let token = ''
let stored: Stored[] = []

const local = (time: string) => instantOf(plan.date, time, plan.timeZone)

beforeAll(async () => {
  let shown: Noted
  day = await simulateDay(join(checkoutFolder(), 'seed', 'ellery'), 7, async started => {
    const runa = { id: 'p-runa', name: 'Runa', role: 'supervisor' } as const
    await started.sunup.access.addPerson(runa)
    token = await started.sunup.access.makeToken(runa)
    watching = await connectBoard(started, IMRE)
    const { cursor, now, rows, calls } = await watching.snapshot()
    shown = { cursor, now, rows: new Map(rows.map(row => [row.code, row])), calls }
    noted.push(shown)
    watching.socket.on('patch', (patch: Patch) => {
      if (patch.from !== shown.cursor) throw new Error('a gap')
      const rows = new Map(shown.rows)
      for (const row of patch.rows) rows.set(row.code, row)
      if (patch.forecasts) foretold.push(patch.forecasts)
      shown = { cursor: patch.to, now: patch.now, rows, calls: patch.calls ?? shown.calls }
      noted.push(shown)
    })
  })
  ;({ plan, running } = day)
  for (const time of ['06:40', '06:45', '06:50']) {
    await day.play(time, SPEED)
    running.clock.setSpeed(1)
    const free = running.live.calls().filter(l => l.precincts.length > 0 && !l.steppedBack)
    const backAt = toRfc3339(running.live.now() + 2 * MINUTE)
    for (const { precincts } of free)
      await watching.command('DeferCall', { precincts: [...precincts], until: backAt })
    await until('the board shows what was put off', () => shown.cursor === running.live.cursor())
  }
  await day.play('06:55', SPEED)
  running.clock.setSpeed(0.001)
  day.quiet()
  await until('the board is at the head', () => noted.at(-1)!.cursor === running.live.cursor(), 20_000)
  watching.close()
  stored = await day.stored()
}, 600_000)

afterAll(async () => {
  await day?.stop()
})

async function state(query: string): Promise<Snapshot> {
  const response = await fetch(`${running.url}/api/v1/days/${running.day}/state?${query}`, {
    headers: { Authorization: `Bearer ${token}` },
  })
  const json = await response.json()
  if (!response.ok) throw new Error(JSON.stringify(json))
  return json as Snapshot
}
const byCode = (rows: readonly BoardRow[]) => Object.fromEntries(rows.map(row => [row.code, row]))

describe('the replay of a practice morning', () => {
  it('P12: at a cursor has the rows that the live board had at that cursor', async () => {
    expect(noted.length).toBeGreaterThan(30)
    for (const then of noted.filter(n => n.cursor > 0)) {
      const replayed = await state(`position=${then.cursor}`)
      expect(replayed.head).toEqual({ position: then.cursor, hash: stored[then.cursor - 1]!.hash })
      expect(byCode(replayed.rows)).toEqual(Object.fromEntries(then.rows))
    }
  })

  it('P12: at an instant has the rows and the very call list that the live board showed then', async () => {
    let compared = 0
    const lists = new Set<string>()
    for (const then of noted.filter(n => n.cursor > 0)) {
      // An entry is dated when its writing begins and shown when it is committed, milliseconds later: on a day played
      // this quickly those are seconds, so the moments at which something was being written are left out here.
      const after = stored[then.cursor]
      if (after && after.entry.recordedAt <= then.now) continue
      const replayed = await state(`at=${toRfc3339(then.now)}`)
      expect(replayed.cursor).toBe(then.cursor)
      expect(byCode(replayed.rows)).toEqual(Object.fromEntries(then.rows))
      expect(replayed.calls, toRfc3339(then.now)).toEqual(then.calls)
      lists.add(JSON.stringify(then.calls))
      compared++
    }
    expect(compared).toBeGreaterThan(15)
    expect(lists.size).toBeGreaterThan(5)
    const steppedBack = noted.filter(n =>
      n.calls.some(l => l.call.lastOutcome === 'deferred' && l.steppedBack),
    )
    const cameBack = noted.filter(n => n.calls.some(l => l.call.lastOutcome === 'deferred' && !l.steppedBack))
    expect([steppedBack.length > 0, cameBack.length > 0]).toEqual([true, true])
  })

  it('P12: answers for an entry with the forecasts that the live board showed from it', async () => {
    expect(foretold.length).toBeGreaterThan(10)
    const shown = new Map<string, unknown>()
    // A few of them: each is reckoned anew, the way it was.
    const asked = new Set(foretold.filter((_, i) => i % Math.ceil(foretold.length / 8) === 0))
    for (const then of foretold) {
      for (const one of then.precincts) shown.set(one.code, one)
      if (!asked.has(then)) continue
      const answer = await fetch(
        `${running.url}/api/v1/days/${running.day}/forecasts?position=${then.position}`,
        { headers: { Authorization: `Bearer ${token}` } },
      )
      const { at, position, county, precincts } = (await answer.json()) as BoardForecasts
      expect({ at, position, county }).toEqual({ at: then.at, position: then.position, county: then.county })
      for (const one of precincts) if (shown.has(one.code)) expect(one).toEqual(shown.get(one.code))
    }
    expect(shown.size).toBe(64)
  })

  it('P12: as happened is the fold of what had happened, whenever it was told', async () => {
    const { index } = running.live
    const entries = stored.map(s => s.entry)
    for (const time of ['05:20', '05:50', '06:29', '06:31', '06:45', '06:54']) {
      const happened = await state(`at=${toRfc3339(local(time))}&view=happened`)
      const wanted = foldAsHappened(initialDay(running.day, index), entries, index, local(time))
      const rows = [...wanted.precincts.values()].map(p => rowOf(p, index))
      expect(byCode(happened.rows), time).toEqual(JSON.parse(JSON.stringify(byCode(rows))))
    }
    // The morning must have had verdicts and late words, or this proves little.
    expect(entries.some(isVerdict)).toBe(true)
    expect(entries.some(e => e.recordedAt - e.occurredAt > 5_000)).toBe(true)
  })
})
