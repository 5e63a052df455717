import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'

/** The arrival profile: share of the day's voters in each quarter hour since local midnight. */

export const QUARTER = 15 * MINUTE
export const HOUR_QUARTERS = 4

const sums = new WeakMap<readonly number[], Float64Array>()

/** Shares up to the start of each quarter: one number more than the profile has. Made once for each profile. */
function sumsOf(profile: readonly number[]): Float64Array {
  const known = sums.get(profile)
  if (known) return known
  const made = new Float64Array(profile.length + 1)
  for (let i = 0; i < profile.length; i++) made[i + 1] = made[i]! + profile[i]!
  sums.set(profile, made)
  return made
}

/**
 * Share (0–1) of the day's voters who are expected to have arrived by an instant: linear inside each quarter
 * hour, 0 before the first, the profile's whole sum after the last.
 */
export function shareBy(profile: readonly number[], midnight: Instant, at: Instant): number {
  const cumulative = sumsOf(profile)
  const quarters = (at - midnight) / QUARTER
  if (!(quarters > 0)) return 0
  const last = profile.length
  if (quarters >= last) return cumulative[last]!
  const whole = Math.floor(quarters)
  return cumulative[whole]! + profile[whole]! * (quarters - whole)
}

/**
 * The first instant by which a share of the day's voters has arrived (the inverse of shareBy); null where the
 * profile never gets there.
 */
export function instantOfShare(profile: readonly number[], midnight: Instant, share: number): Instant | null {
  const cumulative = sumsOf(profile)
  if (share > cumulative[profile.length]!) return null
  let low = 0
  let high = profile.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (cumulative[middle]! >= share) high = middle
    else low = middle + 1
  }
  if (low === 0) return midnight
  const before = cumulative[low - 1]!
  const within = (share - before) / profile[low - 1]!
  return Math.round(midnight + (low - 1 + within) * QUARTER)
}
