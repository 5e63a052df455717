import { type PlanBrief, QUARTER, QUARTERS } from '../plan/brief.ts'
import type { Instant } from '../time.ts'
import type { PrecinctState } from './state.ts'

/**
 * Voters checked in per quarter hour, as [quarter since local midnight, voters], quarters with nobody left out.
 *
 * Between two counts voters are spread evenly over the time, since nothing is known of it; before the first
 * count they are spread from the opening. Whole voters, and they sum to the latest count: each bar is the
 * difference of two rounded running totals. A count that is lower than an earlier one is believed against it:
 * the earlier ones are drawn no higher than what came after, so no bar is negative.
 */
export function barsOf(p: PrecinctState, brief: PlanBrief): Array<[number, number]> {
  const points = pointsOf(p, brief)
  if (points.length < 2) return []
  const bars: Array<[number, number]> = []
  let segment = 0
  let before = 0
  const first = quarterOf(points[0]!.at, brief)
  const last = quarterOf(points.at(-1)!.at - 1, brief)
  for (let q = first; q <= last; q++) {
    const end = q === last ? points.at(-1)!.at : brief.midnight + (q + 1) * QUARTER
    while (segment < points.length - 2 && points[segment + 1]!.at < end) segment++
    const from = points[segment]!
    const to = points[segment + 1]!
    const part = Math.min(1, Math.max(0, (end - from.at) / (to.at - from.at)))
    const total = Math.round(from.is + (to.is - from.is) * part)
    if (total > before) bars.push([q, total - before])
    before = total
  }
  return bars
}

type Point = { at: Instant; is: number }

/** The counts in order of time, none above a later one, after a first point at 0. */
function pointsOf(p: PrecinctState, brief: PlanBrief): Point[] {
  const points: Point[] = []
  for (const q in p.curve) points.push({ at: p.curve[q]!.asOf, is: p.curve[q]!.is })
  points.sort((a, b) => a.at - b.at)
  for (let i = points.length - 2; i >= 0; i--) points[i]!.is = Math.min(points[i]!.is, points[i + 1]!.is)
  const first = points[0]
  if (!first) return []
  const opened = p.openedAt ?? brief.opensAt
  points.unshift({ at: opened < first.at ? opened : first.at - 1, is: 0 })
  return points
}

function quarterOf(at: Instant, brief: PlanBrief): number {
  return Math.min(QUARTERS - 1, Math.max(0, Math.floor((at - brief.midnight) / QUARTER)))
}
