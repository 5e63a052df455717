import type { Instant } from '../time.ts'
import { QUARTER, shareBy } from '../turnout/profile.ts'
import type { Interval } from './forecast.ts'

/** Voters still to come, as a fan that opens from the latest count to what is forecast for closing. */

export type FanPoint = {
  /** End of a quarter hour, or the fan's own beginning. */
  at: Instant
  /** Voters checked in by then: the middle and the ends of the 80 % interval. */
  middle: number
  low: number
  high: number
}

/**
 * What comes until closing is spread over the time that is left by the arrival profile; low and high come by the
 * same one. Empty where nothing is left of the profile after `from`.
 * @param came voters checked in at `from`
 */
export function fanOf(
  profile: readonly number[],
  midnight: Instant,
  from: { at: Instant; is: number },
  closesAt: Instant,
  interval: Interval,
): FanPoint[] {
  const begin = shareBy(profile, midnight, from.at)
  const whole = shareBy(profile, midnight, closesAt) - begin
  if (!(whole > 0) || from.at >= closesAt) return []
  const pointAt = (at: Instant): FanPoint => {
    const share = Math.min(1, (shareBy(profile, midnight, at) - begin) / whole)
    const by = (end: number) => from.is + Math.max(0, end - from.is) * share
    return { at, middle: by(interval.total), low: by(interval.low80), high: by(interval.high80) }
  }
  const points = [pointAt(from.at)]
  const first = Math.floor((from.at - midnight) / QUARTER) + 1
  for (let q = first; midnight + q * QUARTER < closesAt; q++) points.push(pointAt(midnight + q * QUARTER))
  points.push(pointAt(closesAt))
  return points
}
