/** Seeded chance for the practice day: the same seed gives the same day. Not for anything that must be unguessable. */
export type Random = {
  /** Uniform in [0, 1). */
  next(): number
  /** Uniform in [low, high). */
  between(low: number, high: number): number
  /** Uniform whole number in [low, high], both included. */
  whole(low: number, high: number): number
  /** Number of events where `mean` are expected (Poisson, by Knuth's product of uniforms; mean ≤ 50). */
  poisson(mean: number): number
  /** Lognormal around a median; `sigma` is the standard deviation of its logarithm. */
  around(median: number, sigma: number): number
  /** Another that draws from here what this one would. */
  fork(): Random
}

/** FNV-1a over the text: a generator of its own for each seed and name, so one precinct never shifts another. */
function hashOf(text: string): number {
  let h = 0x811c9dc5
  for (let i = 0; i < text.length; i++) h = Math.imul(h ^ text.charCodeAt(i), 0x01000193)
  return h >>> 0
}

/** Generator by the mulberry32 step (public domain, 32 bits of state). */
export function randomOf(seed: number, name: string): Random {
  return randomFrom(hashOf(`${seed}/${name}`))
}

function randomFrom(from: number): Random {
  let state = from
  const next = () => {
    state = (state + 0x6d2b79f5) | 0
    let t = Math.imul(state ^ (state >>> 15), 1 | state)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296
  }
  return {
    next,
    between: (low, high) => low + (high - low) * next(),
    whole: (low, high) => low + Math.floor((high - low + 1) * next()),
    poisson(mean) {
      const limit = Math.exp(-Math.min(50, Math.max(0, mean)))
      let n = 0
      for (let product = next(); product > limit; product *= next()) n++
      return n
    },
    fork: () => randomFrom(state),
    around(median, sigma) {
      const normal = Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next())
      return median * Math.exp(sigma * normal)
    },
  }
}
