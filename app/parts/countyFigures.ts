import type { BoardRow } from '../../server/domain/day/row.ts'
import { type Instant, MINUTE } from '../../server/domain/time.ts'
import type { PlanBrief } from '../../server/protocol/board.ts'

export type CountyTotals = {
  of: number
  open: number
  settingUp: number
  done: number
  checkedIn: number
  /** Checked in so far over the voters expected on the whole day; null: nothing counted yet. */
  share: number | null
  /** Percentage points above (+) or below what was expected at the instants of the same counts. */
  points: number | null
  /** Oldest of the counts that the sum is made of. */
  oldest: Instant | null
}

/**
 * Sums over the county. A precinct without a count adds nothing to either side of the comparison, so a missing
 * count does not look like a low turnout.
 */
export function countyTotals(rows: Iterable<BoardRow>, plan: Pick<PlanBrief, 'precincts'>): CountyTotals {
  const totals = { of: plan.precincts.length, open: 0, settingUp: 0, done: 0, checkedIn: 0 }
  let expectedThen = 0
  let oldest: Instant | null = null
  let counted = false
  for (const row of rows) {
    if (row.standing === 'open') totals.open++
    else if (row.standing === 'setting-up' || row.standing === 'ready') totals.settingUp++
    else if (row.standing !== 'not-heard') totals.done++
    if (row.checkedIn === null) continue
    counted = true
    totals.checkedIn += row.checkedIn.is
    expectedThen += row.expectedThen ?? 0
    oldest = oldest === null ? row.checkedIn.asOf : Math.min(oldest, row.checkedIn.asOf)
  }
  const expected = plan.precincts.reduce((sum, p) => sum + p.expected, 0)
  const known = counted && expected > 0
  return {
    ...totals,
    share: known ? totals.checkedIn / expected : null,
    points: known ? ((totals.checkedIn - expectedThen) / expected) * 100 : null,
    oldest,
  }
}

export type CurvePoint = { at: Instant; checkedIn: number | null; expected: number }

const QUARTER = 15 * MINUTE

/**
 * A turnout curve: voters checked in so far and expected so far, at every quarter hour of the legal hours.
 * `checkedIn` ends at the last quarter hour that any strip has figures for.
 */
export function turnoutCurve(
  rows: readonly BoardRow[],
  expected: number,
  plan: Pick<PlanBrief, 'midnight' | 'opensAt' | 'closesAt' | 'profile'>,
  now: Instant,
): CurvePoint[] {
  const byQuarter = new Map<number, number>()
  let last = -1
  for (const row of rows)
    for (const [quarter, voters] of row.strip.bars) {
      byQuarter.set(quarter, (byQuarter.get(quarter) ?? 0) + voters)
      last = Math.max(last, quarter)
    }
  const first = Math.floor((plan.opensAt - plan.midnight) / QUARTER)
  const beyond = Math.ceil((plan.closesAt - plan.midnight) / QUARTER)
  const points: CurvePoint[] = [{ at: plan.opensAt, checkedIn: last >= 0 ? 0 : null, expected: 0 }]
  let soFar = 0
  let share = 0
  for (let q = Math.min(first, ...byQuarter.keys()); q < Math.max(beyond, last + 1); q++) {
    soFar += byQuarter.get(q) ?? 0
    share += plan.profile[q] ?? 0
    if (q < first) continue
    const end = plan.midnight + (q + 1) * QUARTER
    points.push({
      at: q === last ? Math.max(end - QUARTER, Math.min(end, now)) : end,
      checkedIn: q <= last ? Math.round(soFar) : null,
      expected: Math.round(share * expected),
    })
  }
  return points
}
