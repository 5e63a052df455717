import type { DayInput, PrecinctInput } from '../../server/domain/forecast/input.ts'
import { policy } from '../../server/domain/plan/policy.ts'
import { HOUR, type Instant } from '../../server/domain/time.ts'
import { chanceOf } from './chance.ts'
import { bent, CLOSES, OPENS, PLANNED, ruffled } from './madeCurve.ts'
import { type MadePrecinct, madePrecinct, STEPS } from './madePrecinct.ts'

/**
 * Made-up election days that don't share the forecasts' assumptions: the county's factor is a shifted gamma or has
 * two humps and is more on average than the plan says; the curve is a mixture with whole shapes that the plan
 * doesn't know (early, lunch, evening); precincts' arrivals are overdispersed by the day and by the hour (gamma,
 * not lognormal); service and opening steps are gamma and Weibull mixtures; counts are typed late, rounded, and
 * sometimes wrong.
 */

export type MadeDay = {
  /** What the office knows at an instant. */
  dayAt: (at: Instant) => DayInput
  precinctsAt: (at: Instant) => PrecinctInput[]
  precincts: readonly MadePrecinct[]
}

const standard = policy.parse({})

/** A county of so many precincts on one day; the same for the same seed. */
export function madeDay(seed: number, howMany: number): MadeDay {
  const chance = chanceOf(seed)
  const factor =
    chance.next() < 0.6
      ? 0.72 + 0.31 * chance.gamma(0.6)
      : chance.oneOf([0.88, 1.15]) + 0.04 * chance.normal()
  const profile = ruffled(bent(PLANNED, chance, 0.45), chance, 0.1)
  const early = chance.gamma(0.12)
  const precincts = Array.from({ length: howMany }, (_, i) =>
    madePrecinct(chance, { code: `M-${i + 1}`, factor, profile, planned: PLANNED, openingPace: early }),
  )
  return {
    dayAt: at => ({
      at,
      midnight: 0,
      reportAt: OPENS - HOUR,
      opensAt: OPENS,
      closesAt: CLOSES,
      profile: PLANNED,
      policy: standard,
      networks: [STEPS],
    }),
    precinctsAt: at => precincts.map(p => p.knownAt(at)),
    precincts,
  }
}
