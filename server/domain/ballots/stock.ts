import type { Instant } from '../time.ts'
import type { ArrivalsOfDay } from '../turnout/expected.ts'
import { arrivals, surelyMore } from '../turnout/expected.ts'
import { instantOfShare, shareBy } from '../turnout/profile.ts'

/** A count of ballots left is worked with for as many count periods as this; use is reckoned on from it. */
export const STOCK_PERIODS = 3

/** Ballots of one precinct against the voters still expected, in a first honest form. */
export type Stock = {
  /** Left now, not rounded: those counted as left, less the voters expected since that count; ≥ 0. */
  left: number
  /** Voters still expected until closing, not rounded. */
  stillExpected: number
  /** When the last ballot goes if voters come as expected; null: not before closing. */
  runsOutAt: Instant | null
}

/**
 * One ballot a voter. Voters come by the profile, and by as much more as today's count surely shows
 * (surelyMore); never fewer than planned, since a slow morning says little about the evening.
 * @param expected voters expected on the whole day
 * @param counted ballots left, at their count's instant
 * @param checkedIn latest count of voters checked in
 */
export function stock(
  day: ArrivalsOfDay & { closesAt: Instant },
  expected: number,
  counted: { is: number; asOf: Instant },
  checkedIn: { is: number; asOf: Instant } | null,
  now: Instant,
): Stock {
  const coming = expected * surelyMore(day, expected, checkedIn)
  const left = Math.max(0, counted.is - arrivals(day, coming, counted.asOf, now))
  const stillExpected = arrivals(day, coming, now, day.closesAt)
  let runsOutAt: Instant | null = null
  if (left < stillExpected) {
    const share = shareBy(day.profile, day.midnight, now) + left / coming
    runsOutAt = left === 0 ? now : instantOfShare(day.profile, day.midnight, share)
  }
  return { left, stillExpected, runsOutAt }
}
