import type { Instant } from '../time.ts'
import { QUARTER } from './profile.ts'

/**
 * Voters still to come, as a turnout outlook has them (TurnoutOutlook.coming): by quarter hour from the forecast's
 * instant to closing. The first quarter is what is left of it, the last is cut at closing; evenly within each.
 */

/** Instant that the forecast is of, and the day's hours. */
type ComingFrom = { at: Instant; midnight: Instant; closesAt: Instant }

/** The first quarter's own start, which may lie before the forecast. */
function firstQuarter({ at, midnight }: ComingFrom): Instant {
  return midnight + Math.floor((at - midnight) / QUARTER) * QUARTER
}

/** Voters (≥ 0, not rounded) who come between two instants; nobody before the forecast's instant or after closing. */
export function comingBetween(
  coming: readonly number[],
  day: ComingFrom,
  from: Instant,
  to: Instant,
): number {
  const first = firstQuarter(day)
  let sum = 0
  for (let q = Math.max(0, Math.floor((from - first) / QUARTER)); q < coming.length; q++) {
    const start = Math.max(day.at, first + q * QUARTER)
    const end = Math.min(day.closesAt, first + (q + 1) * QUARTER)
    if (start >= to) break
    const part = Math.min(end, to) - Math.max(start, from)
    if (end > start && part > 0) sum += Math.max(0, coming[q]!) * (part / (end - start))
  }
  return sum
}

/** When so many will have come: the forecast's instant where it is none, closing at the latest. */
export function instantWhen(coming: readonly number[], day: ComingFrom, voters: number): Instant {
  const first = firstQuarter(day)
  const last = Math.max(day.at, day.closesAt)
  let left = voters
  if (left <= 0) return day.at
  for (let q = 0; q < coming.length; q++) {
    const start = Math.max(day.at, first + q * QUARTER)
    const end = Math.min(last, first + (q + 1) * QUARTER)
    const here = Math.max(0, coming[q]!)
    if (here >= left) return Math.min(last, Math.round(start + ((end - start) * left) / here))
    left -= here
  }
  return last
}
