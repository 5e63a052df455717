import type { Instant } from '../time.ts'
import type { Arrived } from './arrived.ts'
import { HOUR_QUARTERS, QUARTER, shareBy } from './profile.ts'

/**
 * The arrival profile as today's counts have it.
 *
 * Counts come at different minutes and at different distances, so each increment between two counts is spread over
 * the quarters that it spans by the profile at hand. An hour's share is then the plan's times a factor that is
 * gamma distributed beforehand (mean 1, coefficient of variation c, so shape and rate k = 1/c²) while the voters
 * of the hour are a Poisson count: afterwards its mean is (k + observed) ÷ (k + awaited), the conjugate update
 * (A. Gelman et al., "Bayesian Data Analysis", 3rd ed., section 2.6). What is counted so far together gets the
 * share that the county's forecast gives it, what is still to come the rest.
 */

/** By quarter since midnight: voters planned there whose count is known, and voters counted there. */
export type Tally = { awaited: Float64Array; observed: Float64Array }

export function emptyTally(profile: readonly number[]): Tally {
  return { awaited: new Float64Array(profile.length), observed: new Float64Array(profile.length) }
}

/** Adds a precinct's counts to the tally; its voters come from `opensAt` on. */
export function addCounts(
  tally: Tally,
  { profile, midnight, opensAt }: { profile: readonly number[]; midnight: Instant; opensAt: Instant },
  expected: number,
  counts: readonly Arrived[],
): void {
  let from = Math.min(opensAt, counts[0]?.at ?? opensAt)
  let before = 0
  for (const { at, arrived } of counts) {
    const whole = shareBy(profile, midnight, at) - shareBy(profile, midnight, from)
    if (whole <= 0) continue
    for (let start = from; start < at; ) {
      const quarter = Math.floor((start - midnight) / QUARTER)
      const end = Math.min(at, midnight + (quarter + 1) * QUARTER)
      const part = ((profile[quarter] ?? 0) * (end - start)) / QUARTER
      if (part > 0) {
        tally.awaited[quarter] = tally.awaited[quarter]! + expected * part
        tally.observed[quarter] = tally.observed[quarter]! + ((arrived - before) * part) / whole
      }
      start = end
    }
    from = at
    before = arrived
  }
}

/**
 * @param planned voters planned where there are counts, ≥ 0
 * @param cv coefficient of variation of an hour's share
 * @param logitShift by how much the logit of the share counted so far is off, as the forecast has it
 * @returns shares of the quarters; their sum is that of `profile`
 */
export function reestimated(
  profile: readonly number[],
  { awaited, observed }: Tally,
  planned: number,
  cv: number,
  logitShift: number,
): readonly number[] {
  const whole = sum(profile)
  const counted = planned > 0 ? sum(awaited) / planned : 0
  if (!(counted > 1e-9 && counted < whole * (1 - 1e-9))) return profile
  const level = sum(observed) / sum(awaited)
  const k = 1 / (cv * cv)
  const known = profile.map((w, q) => Math.min(w, awaited[q]! / planned))
  const shifted = known.map((w, q) => {
    const from = q - (q % HOUR_QUARTERS)
    const due = level * sum(awaited.subarray(from, from + HOUR_QUARTERS))
    return w * ((k + sum(observed.subarray(from, from + HOUR_QUARTERS))) / (k + due))
  })
  const odds = (counted / (whole - counted)) * Math.exp(logitShift)
  const sharePast = (whole * odds) / (1 + odds)
  const past = sharePast / sum(shifted)
  const future = (whole - sharePast) / (whole - sum(known))
  return profile.map((w, q) => shifted[q]! * past + (w - known[q]!) * future)
}

function sum(numbers: Iterable<number>): number {
  let all = 0
  for (const n of numbers) all += n
  return all
}
