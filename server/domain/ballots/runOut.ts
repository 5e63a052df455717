import { countBelow, countQuantiles, type Spread } from '../numbers/counts.ts'

/** Ballots of one precinct (or of one style there) against those who still come. */
export type RunOut = {
  /** P(the stock ends before closing), 0–1. */
  chance: number
  /** Ballots wanted until closing: middle and the end that nine in ten days stay under. */
  wanted: number
  wanted90: number
}

/**
 * @param left ballots left now, ≥ 0
 * @param toCome voters still to come until closing
 * @param each ballots used for a voter: 1, and a little for those that are spoiled
 */
export function runOut(left: number, toCome: Spread, each: number): RunOut {
  const wanted = { mean: toCome.mean * each, extraVariance: toCome.extraVariance * each * each }
  const [middle, most] = countQuantiles(wanted, [0.5, 0.9])
  return { chance: Math.max(0, 1 - countBelow(wanted, Math.floor(left))), wanted: middle!, wanted90: most! }
}

/** The share is sought to a 16,000th of those who come. */
const HALVINGS = 14

/**
 * Part of those still to come (0–1) after whom the stock is used up with a chance of `part`; null: it lasts until
 * closing with at least 1 − part. The count grows with the share that has come, so the least share is sought.
 */
export function shareUntilOut(left: number, toCome: Spread, each: number, part: number): number | null {
  const outBy = (share: number) => {
    const mean = toCome.mean * each * share
    return (
      1 - countBelow({ mean, extraVariance: toCome.extraVariance * (each * share) ** 2 }, Math.floor(left))
    )
  }
  if (left <= 0) return 0
  if (outBy(1) < part) return null
  let low = 0
  let high = 1
  for (let i = 0; i < HALVINGS; i++) {
    const middle = (low + high) / 2
    if (outBy(middle) >= part) high = middle
    else low = middle
  }
  return high
}
