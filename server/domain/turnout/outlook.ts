import type { TurnoutOutlook } from '../forecast/forecast.ts'
import type { DayInput, PrecinctInput } from '../forecast/input.ts'
import type { Spread } from '../numbers/counts.ts'
import type { Instant } from '../time.ts'
import { arrivedBy } from './arrived.ts'
import { hoursOf, ownVariance } from './county.ts'
import { pace } from './expected.ts'
import { type Factor, shapeVariance, totalsOf, turnoutForecast } from './forecast.ts'
import { QUARTER, shareBy } from './profile.ts'
import type { CountFault } from './sound.ts'

/** What of the county's forecast the precincts' are made from. */
export type CountySaid = { profile: readonly number[]; factor: Factor }

/** Faults told, the latest of them. */
const FAULTS = 3

/**
 * A precinct's turnout: the county's factor and profile are where it begins, its own counts move it. Null: nobody
 * votes here any more.
 * @returns `toCome`: those who come from now on to closing, as a count; `faults`: the latest three counts that
 *   can't be true
 */
export function turnoutOutlook(
  day: DayInput,
  county: CountySaid,
  input: PrecinctInput,
): { outlook: TurnoutOutlook; toCome: Spread; faults: CountFault[] } | null {
  if (input.closed) return null
  const { profile } = county
  const { arrived, faults } = arrivedBy(day, input, profile)
  const latest = arrived.at(-1) ?? null
  const by = (at: Instant) => Math.min(1, shareBy(profile, day.midnight, at))
  const said = (share: number, came: number | null) =>
    turnoutForecast({ planned: input.expected, prior: priorOf(day, county, input, share), share, came })
  // Without a count all of the day's voters are unknown, those of the hours that are over, too.
  const counted = said(latest ? by(latest.at) : 0, latest?.arrived ?? null)
  const rest = 1 - by(day.at)
  const since = latest ? 1 - by(latest.at) : 0
  const left = latest ? counted : said(by(day.at), null)
  const part = latest ? (since > 0 ? Math.min(1, rest / since) : 0) : 1
  const toCome = { mean: left.toCome.mean * part, extraVariance: left.toCome.extraVariance * part * part }
  const checkedIn = latest && { is: latest.checkedIn, at: latest.at }
  return {
    outlook: {
      ...totalsOf(latest?.arrived ?? 0, counted.toCome),
      came: checkedIn,
      pace: pace(day, input.expected, checkedIn && { is: checkedIn.is, asOf: checkedIn.at }),
      coming: comingBy(day, profile, toCome.mean),
      logSd: Math.sqrt(left.toComeVariance),
    },
    toCome,
    faults: faults.sort((a, b) => a.at - b.at).slice(-FAULTS),
  }
}

/** The county's factor with the precinct's own beside it, whose mean is 1; and the county's curve with its own. */
function priorOf(
  day: DayInput,
  { profile, factor }: CountySaid,
  input: PrecinctInput,
  share: number,
): Factor {
  const own = ownVariance(day, input)
  return {
    mean: factor.mean - own / 2,
    variance: factor.variance + own,
    curveVariance: factor.curveVariance + shapeVariance(hoursOf(profile), share, day.policy.unknown.profile),
    curveCovariance: factor.curveCovariance,
  }
}

/** Voters of each quarter hour from now to closing, by the profile; of the first what is left of it. */
function comingBy(day: DayInput, profile: readonly number[], all: number): number[] {
  if (day.at >= day.closesAt) return []
  const first = Math.floor((day.at - day.midnight) / QUARTER)
  const end = Math.ceil((day.closesAt - day.midnight) / QUARTER)
  const whole = shareBy(profile, day.midnight, day.closesAt) - shareBy(profile, day.midnight, day.at)
  const coming: number[] = []
  for (let q = first; q < end; q++) {
    const from = Math.max(day.at, day.midnight + q * QUARTER)
    const to = Math.min(day.closesAt, day.midnight + (q + 1) * QUARTER)
    const part = shareBy(profile, day.midnight, to) - shareBy(profile, day.midnight, from)
    coming.push(whole > 0 ? (all * part) / whole : 0)
  }
  return coming
}
