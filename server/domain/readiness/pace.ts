import { hazard } from '../numbers/normal.ts'
import type { Duration } from './grid.ts'

/**
 * How fast people are today: the logarithm of how much longer steps take than the plan's median, pooled.
 *
 * Each step that is done says ln(minutes taken ÷ median), scattered by the step's own spread. A precinct's pace is
 * the county's plus its own deviation, both normal on the log scale: so a precinct that has done little is taken
 * to be like the county, one that has done much to be like itself (partial pooling: A. Gelman, J. Hill, "Data
 * Analysis Using Regression and Multilevel/Hierarchical Models", 2007, chapter 12).
 */
export type Pace = { mean: number; variance: number }

/** What one step says of pace: a logarithm and how uncertain it is. */
export type PaceSaid = { logRatio: number; variance: number }

/** Assumptions, to be learned from practice days: spread between days, and between the precincts of one day. */
const BETWEEN_DAYS = 0.1 ** 2
const BETWEEN_PRECINCTS = 0.2 ** 2
/** A step noted at once with another, or hours late, says nothing about pace beyond this. */
const MOST_LOG_RATIO = 1.5

/** The pace said by a step that took so many minutes; null where it took none: it was noted together with others. */
export function paceSaid({ median, sigma }: Duration, minutes: number): PaceSaid | null {
  if (!(minutes >= 1)) return null
  const logRatio = Math.log(minutes / median)
  return { logRatio: Math.min(MOST_LOG_RATIO, Math.max(-MOST_LOG_RATIO, logRatio)), variance: sigma * sigma }
}

/**
 * The pace said by a step that is under way for so many minutes: it takes longer than that. Without it only the quick
 * ones would speak, and every morning would begin too fast. One step of Newton's method from the plan's pace on the
 * likelihood of a duration that is censored there (J. Tobin, "Estimation of relationships for limited dependent
 * variables", Econometrica 26, 1958): as if a step had been done with this ratio and this variance. Null: it says nothing
 * yet.
 */
export function paceUnderWay({ median, sigma }: Duration, minutes: number): PaceSaid | null {
  if (!(minutes >= 1)) return null
  const z = Math.log(minutes / median) / sigma
  const { rate, excess } = hazard(z)
  if (rate < 1e-3) return null
  return { logRatio: Math.min(MOST_LOG_RATIO, sigma / excess), variance: (sigma * sigma) / (rate * excess) }
}

/** The county's pace today, from what all precincts say. */
export function countyPace(said: ReadonlyArray<readonly PaceSaid[]>): Pace {
  let weight = 1 / BETWEEN_DAYS
  let sum = 0
  for (const ofOne of said) {
    const own = meanOf(ofOne)
    if (!own) continue
    const part = 1 / (own.variance + BETWEEN_PRECINCTS)
    weight += part
    sum += part * own.mean
  }
  return { mean: sum / weight, variance: 1 / weight }
}

/** A precinct's pace: the county's, moved by what it says itself. */
export function precinctPace(county: Pace, said: readonly PaceSaid[]): Pace {
  const prior = county.variance + BETWEEN_PRECINCTS
  const own = meanOf(said)
  if (!own) return { mean: county.mean, variance: prior }
  const weight = 1 / prior + 1 / own.variance
  return { mean: (county.mean / prior + own.mean / own.variance) / weight, variance: 1 / weight }
}

/** A planned duration at a pace: longer or shorter by it, and wider by what isn't known of it. */
export function atPace(duration: Duration, pace: Pace): Duration {
  return {
    median: duration.median * Math.exp(pace.mean),
    sigma: Math.sqrt(duration.sigma * duration.sigma + pace.variance),
  }
}

function meanOf(said: readonly PaceSaid[]): Pace | null {
  if (said.length === 0) return null
  let weight = 0
  let sum = 0
  for (const { logRatio, variance } of said) {
    weight += 1 / variance
    sum += logRatio / variance
  }
  return { mean: sum / weight, variance: 1 / weight }
}
