/**
 * Arrivals aren't known: their rate is the expected one times a lognormal factor of mean 1. Three values of it with
 * these weights give the mean of any polynomial of its logarithm up to the fifth degree exactly (Gauss–Hermite
 * quadrature: M. Abramowitz, I. A. Stegun, "Handbook of Mathematical Functions", table 25.10).
 */
const NODES = [
  { z: 0, weight: 2 / 3 },
  { z: -Math.sqrt(3), weight: 1 / 6 },
  { z: Math.sqrt(3), weight: 1 / 6 },
] as const

/** A value that the factor of arrivals may have, > 0, and its weight; the weights sum to 1. */
export type ArrivalFactor = { factor: number; weight: number }

/** With a wider spread than this nothing is known of arrivals, and the highest factor would only cost time. */
const WIDEST = 1.5

/** The middle one first, the highest last. @param logSd standard deviation of the factor's logarithm, ≥ 0 */
export function arrivalFactors(logSd: number): ArrivalFactor[] {
  const sd = Math.min(WIDEST, Math.max(0, logSd))
  if (sd === 0) return [{ factor: 1, weight: 1 }]
  return NODES.map(({ z, weight }) => ({ factor: Math.exp(z * sd - (sd * sd) / 2), weight }))
}
