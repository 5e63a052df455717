import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { practiceDay } from '../../seed/simulator/script.ts'
import { plantedTroubles, troubleLine } from '../../seed/simulator/troubles.ts'
import { fold } from '../../server/domain/day/fold.ts'
import { initialDay } from '../../server/domain/day/initial.ts'
import type { BoardRow } from '../../server/domain/day/row.ts'
import { rowOf } from '../../server/domain/day/rowOf.ts'
import type { Stored } from '../../server/domain/log/dayLog.ts'
import type { Plan } from '../../server/domain/plan/plan.ts'
import { instantOf } from '../../server/domain/plan/zone.ts'
import { MINUTE, SECOND } from '../../server/domain/time.ts'
import type { Patch } from '../../server/protocol/board.ts'
import { checkoutFolder } from '../../server/where.ts'
import { connectBoard, type RunningSunup, type TestBoard, until } from '../support/runSunup.ts'
import { type SimulatedDay, simulateDay } from '../support/simulatedDay.ts'

/** A whole practice day through real sockets into a real Postgres, played as fast as this machine bears. */
const SPEED = 900
const SEED = 7
let day: SimulatedDay
let plan: Plan
let running: RunningSunup
let watching: TestBoard
let stored: Stored[] = []
const board = { cursor: 0, rows: new Map<string, BoardRow>(), gaps: 0 }

beforeAll(async () => {
  day = await simulateDay(join(checkoutFolder(), 'seed', 'ellery'), SEED, async running => {
    watching = await connectBoard(running)
    const snapshot = await watching.snapshot()
    board.cursor = snapshot.cursor
    for (const row of snapshot.rows) board.rows.set(row.code, row)
    watching.socket.on('patch', (patch: Patch) => {
      if (patch.from !== board.cursor) board.gaps++
      for (const row of patch.rows) board.rows.set(row.code, row)
      board.cursor = patch.to
    })
  })
  ;({ plan, running } = day)
  await day.play('23:00', SPEED)
  day.quiet()
  await until('the board is at the head', () => board.cursor === running.live.cursor(), 20_000)
  stored = await day.stored()
  watching.close()
  // However slow the machine: the day waits for its tablets and rules.
}, 600_000)

afterAll(async () => {
  await day?.stop()
})

const local = (time: string) => instantOf(plan.date, time, plan.timeZone)

describe('a whole practice day through real sockets', () => {
  it('P3: positions have no gaps and recordedAt never goes back', () => {
    expect(stored.length).toBeGreaterThan(3_000)
    expect(stored.every((s, i) => s.entry.position === i + 1)).toBe(true)
    expect(stored.every((s, i) => i === 0 || s.entry.recordedAt >= stored[i - 1]!.entry.recordedAt)).toBe(
      true,
    )
  })

  it('P4: the board that watched from the morning equals the fold of the log', () => {
    expect(board.gaps).toBe(0)
    const entries = stored.filter(s => s.entry.position <= board.cursor).map(s => s.entry)
    const state = fold(initialDay(running.day, running.live.index), entries, running.live.index)
    for (const p of state.precincts.values())
      expect(board.rows.get(p.code), p.code).toEqual(JSON.parse(JSON.stringify(rowOf(p, running.live.index))))
  })

  it('P5: everything the tablets had to say is there, each device’s in its order and once, after the network gap too', () => {
    const script = practiceDay(plan, SEED)
    for (const { code } of plan.precincts) {
      const due = script.precincts.get(code)!.facts.filter(f => f.at <= local('22:59')).length
      const numbers = stored
        .filter(s => s.entry.precinct === code && s.entry.number !== null && s.entry.origin.via === 'device')
        .map(s => s.entry.number)
      expect(numbers, code).toEqual(numbers.map((_, i) => i + 1))
      if (!script.precincts.get(code)!.gaps.some(g => g.to === null))
        expect(numbers.length, code).toBeGreaterThanOrEqual(due)
    }
  })

  it('P6: who fell silent is recorded once, at the instant that policy says', () => {
    const silentMs = plan.policy.heartbeat.silentAfterSeconds * SECOND
    const silences = stored.map(s => s.entry).filter(e => e.kind === 'PrecinctFellSilent')
    expect(silences.length).toBeGreaterThanOrEqual(13)
    for (const e of silences) {
      const { heardAt, silentAt } = e.body as { heardAt: string; silentAt: string }
      expect(Date.parse(silentAt)).toBeGreaterThanOrEqual(Date.parse(heardAt) + silentMs)
      expect(e.occurredAt).toBe(Date.parse(silentAt))
    }
    expect(silences.filter(e => e.precinct === 'saltmarsh-school')).toHaveLength(1)
  })

  it('P7: what was said in the network gap stands at its true time, and is marked late by its recording', () => {
    const late = stored
      .map(s => s.entry)
      .filter(e => e.origin.via === 'device' && e.recordedAt - e.occurredAt > 5 * MINUTE)
    expect(late.length).toBeGreaterThan(5)
    for (const e of late) expect(e.occurredAt).toBeGreaterThan(local('10:29'))
  })

  it('P13: the chain of the day verifies', async () => {
    expect(await running.sunup.log.verify(running.day)).toMatchObject({ ok: true })
  })

  it('every planted trouble is on the call list within its policy’s delay', () => {
    const raised = stored.map(s => s.entry).filter(e => e.kind === 'ReasonRaised')
    // The tablets and the rules may lag a minute of the day each (server/live/quickly.ts), and here forecasts are made
    // on the same thread, at 900 times speed: six minutes of the day are 0.4 s of a machine that runs other tests too.
    const slack = 6 * MINUTE
    const missed: string[] = []
    for (const trouble of plantedTroubles(plan)) {
      const { delayMinutes } = plan.policy.rules[trouble.rule]
      const due = trouble.from + delayMinutes * MINUTE + slack
      const found = raised.find(
        e =>
          e.precinct === trouble.precinct &&
          (e.body as { rule: string }).rule === trouble.rule &&
          e.recordedAt <= due &&
          e.recordedAt >= trouble.from - 6 * 60 * MINUTE,
      )
      if (!found) {
        const others = raised.filter(
          e => e.precinct === trouble.precinct && (e.body as { rule: string }).rule === trouble.rule,
        )
        missed.push(
          `${troubleLine(trouble, plan)}; raised at ${others.map(o => new Date(o.recordedAt).toISOString()).join(', ') || 'never'}`,
        )
      }
    }
    expect(missed).toEqual([])
  })
})
