/** Seeded random draws for made-up days. */
export type Chance = {
  /** Uniform in [0, 1). */
  next: () => number
  between: (low: number, high: number) => number
  normal: () => number
  /** Gamma of mean 1 with a coefficient of variation > 0. */
  gamma: (cv: number) => number
  poisson: (mean: number) => number
  oneOf: <T>(list: readonly T[]) => T
}

export function chanceOf(seed: number): Chance {
  let state = seed >>> 0
  // mulberry32 (T. Ettinger, public domain).
  const next = () => {
    state = (state + 0x6d2b79f5) | 0
    let t = Math.imul(state ^ (state >>> 15), 1 | state)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296
  }
  const normal = () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next())
  // G. Marsaglia, W. W. Tsang, "A simple method for generating gamma variables", ACM TOMS 26, 2000.
  const ofShape = (shape: number): number => {
    if (shape < 1) return ofShape(shape + 1) * (1 - next()) ** (1 / shape)
    const d = shape - 1 / 3
    for (;;) {
      const x = normal()
      const v = (1 + x / Math.sqrt(9 * d)) ** 3
      if (v > 0 && Math.log(1 - next()) < (x * x) / 2 + d - d * v + d * Math.log(v)) return d * v
    }
  }
  const poisson = (mean: number): number => {
    // A Poisson count is the sum of two of half the mean: parts small enough not to underflow.
    if (mean > 400) return poisson(mean / 2) + poisson(mean / 2)
    const least = Math.exp(-mean)
    let n = 0
    for (let p = 1 - next(); p > least; p *= 1 - next()) n++
    return n
  }
  return {
    next,
    between: (low, high) => low + (high - low) * next(),
    normal,
    gamma: cv => ofShape(1 / (cv * cv)) * cv * cv,
    poisson,
    oneOf: list => list[Math.floor(next() * list.length)]!,
  }
}
