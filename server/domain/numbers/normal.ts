/**
 * The standard normal distribution: how much of it lies below a value, and the value below which a part lies.
 * Sources: G. West, "Better approximations to cumulative normal functions", Wilmott 2005 (J. F. Hart's rational
 * functions, double precision); P. J. Acklam's rational approximation of the inverse (2003) with one step of
 * Halley's method. Checked in tests/domain/numbers against SciPy's values.
 */

const TOP = [
  3.52624965998911e-2, 0.700383064443688, 6.37396220353165, 33.912866078383, 112.079291497871,
  221.213596169931, 220.206867912376,
]
const BOTTOM = [
  8.83883476483184e-2, 1.75566716318264, 16.064177579207, 86.7807322029461, 296.564248779674,
  637.333633378831, 793.826512519948, 440.413735824752,
]

/** P(Z ≤ z), 0–1; exact to about 1e-15 absolute, and to about 1e-13 relative in the lower tail down to z = −37. */
export function normalBelow(z: number): number {
  const x = Math.abs(z)
  if (x > 37) return z > 0 ? 1 : 0
  const density = Math.exp((-x * x) / 2)
  let tail: number
  if (x < 7.07106781186547) tail = (density * horner(TOP, x)) / horner(BOTTOM, x)
  else tail = density / (x + 1 / (x + 2 / (x + 3 / (x + 4 / (x + 0.65))))) / 2.506628274631
  return z > 0 ? 1 - tail : tail
}

/**
 * Of the normal distribution at z the chance a unit that it ends just there, having come so far (`rate`, the hazard:
 * density ÷ tail), and by how much that is above z (`excess`); both > 0.
 */
export function hazard(z: number): { rate: number; excess: number } {
  // The tail underflows beyond 37, and the difference loses its digits before: the asymptotic series has them.
  if (z > 20) {
    const excess = 1 / z - 2 / z ** 3 + 10 / z ** 5
    return { rate: z + excess, excess }
  }
  const rate = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI) / normalBelow(-z)
  return { rate, excess: rate - z }
}

const A = [
  -3.969683028665376e1, 2.209460984245205e2, -2.759285104469687e2, 1.38357751867269e2, -3.066479806614716e1,
  2.506628277459239,
]
const B = [
  -5.447609879822406e1, 1.615858368580409e2, -1.556989798598866e2, 6.680131188771972e1, -1.328068155288572e1,
  1,
]
const C = [
  -7.784894002430293e-3, -3.223964580411365e-1, -2.400758277161838, -2.549732539343734, 4.374664141464968,
  2.938163982698783,
]
const D = [7.784695709041462e-3, 3.224671290700398e-1, 2.445134137142996, 3.754408661907416, 1]
const TAIL = 0.02425

/** The z with P(Z ≤ z) = p; ∓8.3 at the ends (p is held within 1e-16 and 1 − 1e-16). */
export function normalQuantile(p: number): number {
  const part = Math.min(1 - 1e-16, Math.max(1e-16, p))
  if (part > 0.5) return -normalQuantile(1 - part)
  let z: number
  if (part < TAIL) {
    const q = Math.sqrt(-2 * Math.log(part))
    z = horner(C, q) / horner(D, q)
  } else {
    const q = part - 0.5
    z = (horner(A, q * q) * q) / horner(B, q * q)
  }
  const off = (normalBelow(z) - part) * Math.sqrt(2 * Math.PI) * Math.exp((z * z) / 2)
  return z - off / (1 + (z * off) / 2)
}

function horner(coefficients: readonly number[], x: number): number {
  let sum = 0
  for (const c of coefficients) sum = sum * x + c
  return sum
}

/** z of the 90th percentile. */
export const Z90 = 1.2815515655446004
