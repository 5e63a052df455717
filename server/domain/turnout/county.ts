import type { CountyForecast } from '../forecast/forecast.ts'
import type { DayInput, PrecinctInput } from '../forecast/input.ts'
import type { Instant } from '../time.ts'
import { arrivedBy } from './arrived.ts'
import { paceOfAll } from './expected.ts'
import { type Factor, shapeVariance, totalsOf, turnoutForecast } from './forecast.ts'
import { profileOfHours } from './hours.ts'
import { shareBy } from './profile.ts'
import { addCounts, emptyTally, reestimated } from './reestimated.ts'

/**
 * The county's turnout from all precincts' counts together. What precincts have in common is the county's factor M
 * and the curve's error; each has its own factor beside these, of which the county sees the mean D of those that
 * have counts. The pooled count speaks of M + D (turnoutForecast); M's part in it goes by the two variances. Those
 * without counts know of M only.
 */
export function countyForecast(
  day: DayInput,
  precincts: readonly PrecinctInput[],
): Omit<CountyForecast, 'openingPace'> {
  const base = profileOfHours(day)
  const { heard, rest, tally, came, arrived, awaited, paces } = pooledCounts(day, precincts, base)
  const unknown = day.policy.unknown
  const ofCounty = unknown.turnout ** 2
  const share = heard.planned > 0 ? awaited / heard.planned : 0
  const curveVariance = shapeVariance(hoursOf(base), share, unknown.profile) * (1 + heard.concentration)
  const prior = { mean: 0, variance: ofCounty + heard.variance, curveVariance, curveCovariance: 0 }
  const pooled = turnoutForecast({
    planned: heard.planned,
    prior,
    share,
    came: paces.length > 0 ? arrived : null,
  })
  const factor = countyPart(pooled.factor, ofCounty, heard.variance)
  const mean = pooled.toCome.mean
  const unheard = rest.planned * Math.exp(factor.mean + factor.variance / 2)
  const together =
    (ofCounty / prior.variance) * (pooled.factor.variance - share * pooled.factor.curveCovariance)
  const totals = totalsOf(arrived, {
    mean: mean + unheard,
    extraVariance:
      pooled.toCome.extraVariance +
      unheard ** 2 * Math.expm1(factor.variance + rest.variance) +
      2 * mean * unheard * Math.max(0, Math.expm1(together)),
  })
  const now = Math.min(1, shareBy(base, day.midnight, day.at))
  const since = share < 1 ? mean * Math.max(0, 1 - (1 - now) / (1 - share)) : 0
  return {
    ...totals,
    came,
    cameNow: Math.min(Math.max(came, totals.total), Math.round(came + since + unheard * now)),
    pace: paceOfAll(day, paces),
    profile: reestimated(base, tally, heard.planned, unknown.profile, pooled.curveMean),
    factor,
  }
}

/** All precincts' counts together: `arrived` has those in line, too; `awaited` of the planned at the same instants. */
function pooledCounts(day: DayInput, precincts: readonly PrecinctInput[], profile: readonly number[]) {
  const heard: PrecinctInput[] = []
  const silent: PrecinctInput[] = []
  const paces: Array<{ expected: number; checkedIn: { is: number; asOf: Instant } }> = []
  const tally = emptyTally(profile)
  const hours = { profile, midnight: day.midnight, opensAt: day.opensAt }
  let came = 0
  let arrived = 0
  let awaited = 0
  for (const input of precincts) {
    const counts = arrivedBy(day, input, profile).arrived
    const latest = counts.at(-1)
    if (!latest) {
      silent.push(input)
      continue
    }
    heard.push(input)
    addCounts(tally, hours, input.expected, counts)
    paces.push({ expected: input.expected, checkedIn: { is: latest.checkedIn, asOf: latest.at } })
    came += latest.checkedIn
    arrived += latest.arrived
    awaited += input.expected * shareBy(profile, day.midnight, latest.at)
  }
  return { heard: sizeOf(day, heard), rest: sizeOf(day, silent), tally, came, arrived, awaited, paces }
}

/**
 * Variance of the logarithm of a precinct's own factor. A vote center's voters choose it: its plan knows less, and
 * twice the variance stands for that.
 */
export function ownVariance(day: DayInput, input: PrecinctInput): number {
  return day.policy.unknown.precinct ** 2 * (input.everyone ? 2 : 1)
}

/** Voters planned in some precincts, the variance of their mean factor, and how much few of them weigh (1/n of n equal ones). */
function sizeOf(day: DayInput, inputs: readonly PrecinctInput[]) {
  let planned = 0
  let variance = 0
  let squares = 0
  for (const input of inputs) {
    planned += input.expected
    squares += input.expected ** 2
    variance += input.expected ** 2 * ownVariance(day, input)
  }
  if (planned === 0) return { planned, variance: 0, concentration: 0 }
  return { planned, variance: variance / planned ** 2, concentration: squares / planned ** 2 }
}

/** What is known of M after the sum of M and D was learned: M's part by its variance, and what stays open between the two. */
function countyPart(sum: Factor, ofCounty: number, ofPrecincts: number): Factor {
  const part = ofCounty / (ofCounty + ofPrecincts)
  return {
    mean: part * sum.mean,
    variance: part * part * sum.variance + part * ofPrecincts,
    curveVariance: sum.curveVariance,
    curveCovariance: part * sum.curveCovariance,
  }
}

/** Shares of the hours of a profile of quarters, without those in which nobody comes. */
export function hoursOf(profile: readonly number[]): number[] {
  const hours: number[] = []
  for (let q = 0; q < profile.length; q += 4) {
    const hour = profile[q]! + (profile[q + 1] ?? 0) + (profile[q + 2] ?? 0) + (profile[q + 3] ?? 0)
    if (hour > 0) hours.push(hour)
  }
  return hours
}
