import { type PlanBrief, QUARTER, QUARTERS } from '../plan/brief.ts'
import type { Instant } from '../time.ts'
import { expectedBy } from '../turnout/expected.ts'
import type { BoardRow } from './row.ts'
import type { Standing } from './state.ts'

/** Totals for the head of the desk. */
export type CountyTotals = {
  precincts: number
  byStanding: Readonly<Record<Standing, number>>
  open: number
  settingUp: number
  silent: number
  /** Sum of the latest counts, and what was expected at each count's own instant. */
  checkedIn: number
  expectedThen: number
  /** Precincts that reported a count. */
  counted: number
  /** Voters expected on the whole day. */
  expected: number
  /** checkedIn ÷ expected of the whole day; 0 where none are expected. */
  share: number
}

/** Totals over the rows; like is compared with like: what a precinct counted with what was expected of it then. */
export function countyOf(rows: Iterable<BoardRow>, brief: PlanBrief): CountyTotals {
  const byStanding: Record<Standing, number> = {
    'not-heard': 0,
    'setting-up': 0,
    ready: 0,
    open: 0,
    closing: 0,
    closed: 0,
    returning: 0,
    received: 0,
  }
  let silent = 0
  let checkedIn = 0
  let expectedThen = 0
  let counted = 0
  for (const row of rows) {
    byStanding[row.standing] += 1
    if (row.silentSince !== null) silent += 1
    if (!row.checkedIn) continue
    counted += 1
    checkedIn += row.checkedIn.is
    expectedThen += row.expectedThen ?? 0
  }
  const expected = expectedOfAll(brief)
  return {
    precincts: brief.precincts.length,
    byStanding,
    open: byStanding.open,
    settingUp: byStanding['setting-up'],
    silent,
    checkedIn,
    expectedThen,
    counted,
    expected,
    share: expected > 0 ? checkedIn / expected : 0,
  }
}

export type CurvePoint = {
  /** End of a quarter hour. */
  at: Instant
  /** Voters checked in by then; null from where fewer than half of the counting precincts have counted. */
  checkedIn: number | null
  expected: number
}

/**
 * Voters checked in by the end of each quarter hour beside what was expected, from the opening to the later of
 * the legal close and the last count. A precinct whose last count is older stands still at it, so the last
 * stretch of the curve lags; where fewer than half of them have counted, there is no point at all.
 */
export function countyCurve(rows: Iterable<BoardRow>, brief: PlanBrief): CurvePoint[] {
  const came = new Array<number>(QUARTERS).fill(0)
  const lastCounts: Instant[] = []
  for (const row of rows) {
    for (const [q, voters] of row.strip.bars) came[q] = came[q]! + voters
    if (row.checkedIn) lastCounts.push(row.checkedIn.asOf)
  }
  lastCounts.sort((a, b) => a - b)
  const halfCounted = lastCounts[Math.floor(lastCounts.length / 2)] ?? Number.NEGATIVE_INFINITY
  const expected = expectedOfAll(brief)
  const first = Math.floor((brief.opensAt - brief.midnight) / QUARTER)
  const until = Math.max(brief.closesAt, lastCounts.at(-1) ?? 0)
  const points: CurvePoint[] = []
  let total = 0
  for (let q = 0; q < first; q++) total += came[q]!
  for (let q = first; q < QUARTERS && brief.midnight + q * QUARTER < until; q++) {
    total += came[q]!
    const at = brief.midnight + (q + 1) * QUARTER
    // A quarter counts as known when its counts reach into it.
    const known = halfCounted > at - QUARTER
    points.push({
      at,
      checkedIn: known ? total : null,
      expected: Math.round(expectedBy(brief, expected, at)),
    })
  }
  return points
}

function expectedOfAll(brief: PlanBrief): number {
  let sum = 0
  for (const p of brief.precincts) sum += p.expected
  return sum
}
