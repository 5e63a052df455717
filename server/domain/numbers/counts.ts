/**
 * Distributions of counts: Poisson, and the negative binomial as a Poisson count whose mean is itself uncertain
 * (gamma). Sources: N. L. Johnson, A. W. Kemp, S. Kotz, "Univariate Discrete Distributions", 3rd ed., chapters 4
 * and 5; logGamma by C. Lanczos (1964) with P. Godfrey's coefficients (g = 7, n = 9).
 */

const LANCZOS = [
  0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059,
  12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
]

/** ln Γ(x), x > 0; relative error about 1e-14. */
export function logGamma(x: number): number {
  if (x < 0.5) return Math.log(Math.PI / Math.sin(Math.PI * x)) - logGamma(1 - x)
  const t = x - 1 + 7.5
  let sum = LANCZOS[0]!
  for (let i = 1; i < LANCZOS.length; i++) sum += LANCZOS[i]! / (x - 1 + i)
  return 0.5 * Math.log(2 * Math.PI) + (x - 0.5) * Math.log(t) - t + Math.log(sum)
}

/** How a count is spread: its mean (≥ 0) and by how much its variance is over the mean (≥ 0; 0: Poisson). */
export type Spread = { mean: number; extraVariance: number }

/** P(N = n) of such a count, n a whole number ≥ 0. */
function massOf({ mean, extraVariance }: Spread, n: number): number {
  if (mean <= 0) return n === 0 ? 1 : 0
  if (extraVariance <= mean * 1e-9) return Math.exp(n * Math.log(mean) - mean - logGamma(n + 1))
  const size = (mean * mean) / extraVariance
  const p = size / (size + mean)
  return Math.exp(
    logGamma(n + size) - logGamma(size) - logGamma(n + 1) + size * Math.log(p) + n * Math.log1p(-p),
  )
}

/** P(N = n + 1) ÷ P(N = n). */
function stepUp({ mean, extraVariance }: Spread, n: number): number {
  if (extraVariance <= mean * 1e-9) return mean / (n + 1)
  const size = (mean * mean) / extraVariance
  return ((n + size) / (n + 1)) * (mean / (size + mean))
}

/** Counts below the middle and above it that are left out of a sum, in standard deviations: under 1e-12 of the whole. */
const REACH = 12

/**
 * Calls `take` with each count that matters and its chance, upwards, until it returns true. The chances begin in
 * the middle and are stepped outwards, so that none underflows.
 */
function walk(spread: Spread, take: (n: number, chance: number) => boolean): void {
  const sd = Math.sqrt(spread.mean + spread.extraVariance)
  const from = Math.max(0, Math.floor(spread.mean - REACH * sd))
  const middle = Math.max(from, Math.floor(spread.mean))
  let chance = massOf(spread, middle)
  for (let n = middle; n > from; n--) chance /= stepUp(spread, n - 1)
  const until = spread.mean + 4 * REACH * sd + 20
  for (let n = from; n <= until; n++) {
    if (take(n, chance)) return
    chance *= stepUp(spread, n)
  }
}

/** P(N ≤ n), 0–1. */
export function countBelow(spread: Spread, n: number): number {
  if (n < 0) return 0
  if (spread.mean <= 0) return 1
  let sum = 0
  walk(spread, (at, chance) => {
    if (at > n) return true
    sum += chance
    return false
  })
  return Math.min(1, sum)
}

/** Least n with P(N ≤ n) ≥ each of `parts` (0–1, rising). */
export function countQuantiles(spread: Spread, parts: readonly number[]): number[] {
  if (spread.mean <= 0) return parts.map(() => 0)
  const found: number[] = []
  let sum = 0
  let last = 0
  walk(spread, (n, chance) => {
    sum += chance
    last = n
    while (found.length < parts.length && sum >= parts[found.length]! * (1 - 1e-12)) found.push(n)
    return found.length === parts.length
  })
  while (found.length < parts.length) found.push(last)
  return found
}

/** P(N ≤ n) of a Poisson count for n = 0 … upTo. */
export function poissonBelow(mean: number, upTo: number): Float64Array {
  const below = new Float64Array(upTo + 1)
  if (mean <= 0) return below.fill(1)
  const middle = Math.min(upTo, Math.floor(mean))
  const spread = { mean, extraVariance: 0 }
  below[middle] = massOf(spread, middle)
  for (let n = middle; n > 0; n--) below[n - 1] = (below[n]! * n) / mean
  for (let n = middle; n < upTo; n++) below[n + 1] = (below[n]! * mean) / (n + 1)
  for (let n = 1; n <= upTo; n++) below[n] = Math.min(1, below[n]! + below[n - 1]!)
  return below
}
