import { normalBelow } from '../numbers/normal.ts'

/**
 * An accrual estimate of silence: how unlikely it is that a device that keeps its own rhythm has been quiet for so
 * long by chance (N. Hayashibara, X. Défago, R. Yared, T. Katayama, "The φ accrual failure detector", SRDS 2004).
 * φ = −log10 P(a gap longer than this); 1 is one in ten, 3 one in a thousand.
 */

/** A device's gaps between hearings, summed up (B. P. Welford, Technometrics 4, 1962). */
export type Rhythm = { gaps: number; mean: number; squares: number }

export const NO_RHYTHM: Rhythm = { gaps: 0, mean: 0, squares: 0 }
/** Fewer gaps than this say nothing of a rhythm. */
export const ENOUGH_GAPS = 30
/** A rhythm is never taken to be more exact than this share of its mean: networks aren't. */
const LEAST_SPREAD = 0.25
/** Old gaps count less and less, as if about so many were remembered. */
const REMEMBERED = 200

/** The rhythm with one more gap, in milliseconds. */
export function heardAfter(rhythm: Rhythm, gap: number): Rhythm {
  if (!(gap > 0)) return rhythm
  const full = rhythm.gaps >= REMEMBERED
  const before = full ? REMEMBERED - 1 : rhythm.gaps
  const squares = full ? rhythm.squares * (before / REMEMBERED) : rhythm.squares
  const gaps = before + 1
  const off = gap - rhythm.mean
  const mean = rhythm.mean + off / gaps
  return { gaps, mean, squares: squares + off * (gap - mean) }
}

/** Standard deviation of the gaps; at least a share of the mean. */
export function spreadOf({ gaps, mean, squares }: Rhythm): number {
  const sd = gaps > 1 ? Math.sqrt(squares / (gaps - 1)) : 0
  return Math.max(sd, mean * LEAST_SPREAD)
}

/** φ after `quiet` milliseconds, for normal gaps; 0 where there is too little history. At most 300. */
export function phi(rhythm: Rhythm, quiet: number): number {
  if (rhythm.gaps < ENOUGH_GAPS) return 0
  return accrual(rhythm.mean, spreadOf(rhythm), quiet)
}

/** φ = −log10(1 − F(quiet)) of a normal distribution; at most 300. */
export function accrual(mean: number, sd: number, quiet: number): number {
  return Math.min(300, Math.max(0, -Math.log10(normalBelow((mean - quiet) / sd))))
}
