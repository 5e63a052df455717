import type { Instant } from '../time.ts'
import { shareBy } from './profile.ts'

/** What of the day's brief the turnout is worked out from. */
export type ArrivalsOfDay = { profile: readonly number[]; midnight: Instant }

/** Below this many expected voters a ratio says nothing yet: a handful more or less would swing it. */
export const HANDFUL = 20

/** Voters (not rounded) expected to have arrived by an instant, of `expected` on the whole day. */
export function expectedBy(day: ArrivalsOfDay, expected: number, at: Instant): number {
  return expected * shareBy(day.profile, day.midnight, at)
}

/** Voters (not rounded) expected to arrive between two instants; 0 where `to` is not after `from`. */
export function arrivals(day: ArrivalsOfDay, expected: number, from: Instant, to: Instant): number {
  if (to <= from) return 0
  return expected * (shareBy(day.profile, day.midnight, to) - shareBy(day.profile, day.midnight, from))
}

/**
 * Pace in signed whole percent: voters checked in against those expected at the count's own instant, so a
 * count of 9:05 is never held against 9:40. 12 means 12% more than expected; null while fewer than a handful
 * are expected.
 */
export function pace(
  day: ArrivalsOfDay,
  expected: number,
  checkedIn: { is: number; asOf: Instant } | null,
): number | null {
  if (!checkedIn) return null
  const then = expectedBy(day, expected, checkedIn.asOf)
  return then < HANDFUL ? null : Math.round((checkedIn.is / then - 1) * 100)
}

/** Pace of many precincts together, each at its own count's instant; null while fewer than a handful are expected. */
export function paceOfAll(
  day: ArrivalsOfDay,
  counts: Iterable<{ expected: number; checkedIn: { is: number; asOf: Instant } | null }>,
): number | null {
  let came = 0
  let awaited = 0
  for (const { expected, checkedIn } of counts) {
    if (!checkedIn) continue
    came += checkedIn.is
    awaited += expectedBy(day, expected, checkedIn.asOf)
  }
  return awaited < HANDFUL ? null : Math.round((came / awaited - 1) * 100)
}

/**
 * By how much more than planned today's voters surely come: at least 1. The count minus two standard
 * deviations of a Poisson count (2·√n), against what was expected then; so a small early count moves nothing.
 */
export function surelyMore(
  day: ArrivalsOfDay,
  expected: number,
  checkedIn: { is: number; asOf: Instant } | null,
): number {
  if (!checkedIn) return 1
  const then = expectedBy(day, expected, checkedIn.asOf)
  if (then < HANDFUL) return 1
  return Math.max(1, (checkedIn.is - 2 * Math.sqrt(checkedIn.is)) / then)
}
