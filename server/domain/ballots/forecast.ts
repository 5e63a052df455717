import type { BallotsForecast, TurnoutOutlook } from '../forecast/forecast.ts'
import type { DayInput, PrecinctInput } from '../forecast/input.ts'
import type { Spread } from '../numbers/counts.ts'
import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'
import { comingBetween, instantWhen } from '../turnout/coming.ts'
import { runOut, shareUntilOut } from './runOut.ts'
import { votedBetween } from './used.ts'

/** A count of ballots older than this many of policy's count intervals says too little. */
const COUNTS_OLD = 3
/** Under this the instants of running out aren't sought. */
const NO_CHANCE = 0.001
const NOBODY = { voterMinutes: 0, outFrom: null, outUntil: null }

/**
 * Whether a precinct's ballots last until closing. Its stock is the last count of ballots, less those for the
 * voters checked in since; each voter still to come needs policy's `ballotsMargin` ballots (a few are spoiled).
 * Null: no ballots were counted, or the count is older than three times policy's `countEveryMinutes`.
 * @param toCome voters who come from now to closing, as a count
 * @param profile the county's arrival profile
 */
export function ballotsForecast(
  day: DayInput,
  input: PrecinctInput,
  outlook: TurnoutOutlook,
  toCome: Spread,
  profile: readonly number[],
): BallotsForecast | null {
  const { ballots } = input
  const { policy } = day
  if (!ballots || day.at - ballots.at > COUNTS_OLD * policy.countEveryMinutes * MINUTE) return null
  const each = policy.ballotsMargin
  const { known, guessed, waiting } = votedBetween(day, input, outlook, profile, ballots.at)
  const stock = Math.max(0, ballots.left - each * known)
  const wanted = later(toCome, guessed + waiting)
  const { chance, wanted: middle, wanted90 } = runOut(stock, wanted, each)
  const risky = chance >= NO_CHANCE
  const instant = (part: number) => {
    const share = risky ? shareUntilOut(stock, wanted, each, part) : null
    return share === null ? null : instantWhen(outlook.coming, day, wanted.mean * share - guessed - waiting)
  }
  const neededBy = instant(policy.ballotsChance)
  // The middle of the days on which it runs out, of all days this part.
  const outFrom = instant(chance / 2)
  return {
    left: Math.max(0, Math.round(stock - each * guessed)),
    countedAt: ballots.at,
    wanted: Math.max(0, Math.round(middle - each * guessed)),
    wanted90: Math.max(0, Math.round(wanted90 - each * guessed)),
    chance,
    endsAt: chance >= 0.5 ? instant(0.5) : null,
    neededBy,
    leaveBy:
      neededBy === null || input.tripMinutes === null
        ? null
        : neededBy - Math.ceil(input.tripMinutes) * MINUTE,
    ...(outFrom === null ? NOBODY : without(day, outlook, chance, outFrom)),
    style: worstStyle(day, input, outlook, toCome, profile),
  }
}

/** The same count with those before it whose number is only expected: they are as uncertain, in proportion. */
function later(toCome: Spread, more: number): Spread {
  if (more <= 0) return toCome
  const mean = toCome.mean + more
  const logVariance = toCome.mean > 0 ? toCome.extraVariance / toCome.mean ** 2 : 0
  return { mean, extraVariance: logVariance * mean * mean }
}

/**
 * What running out costs if nobody acts: where and when those wait who come when no ballot is left, half the time
 * each on average, until policy's horizon after the last ballot or closing.
 */
function without(
  day: DayInput,
  { coming }: TurnoutOutlook,
  chance: number,
  outFrom: Instant,
): Pick<BallotsForecast, 'voterMinutes' | 'outFrom' | 'outUntil'> {
  const until = Math.min(day.closesAt, outFrom + day.policy.horizonMinutes * MINUTE)
  const outUntil = Math.max(outFrom, until)
  const people = comingBetween(coming, day, outFrom, outUntil)
  return { voterMinutes: (chance * people * (outUntil - outFrom)) / MINUTE / 2, outFrom, outUntil }
}

/** Beyond this many standard deviations a style's ballots last. */
const FAR = 6

/**
 * The style most likely to run out. Nobody counts ballots by style during the day: of each style as many are taken
 * to be used as its share of the voters so far, each of whom needs it with that chance (binomial).
 */
function worstStyle(
  day: DayInput,
  input: PrecinctInput,
  outlook: TurnoutOutlook,
  toCome: Spread,
  profile: readonly number[],
): BallotsForecast['style'] {
  const each = day.policy.ballotsMargin
  const { known, guessed, waiting } = votedBetween(day, input, outlook, profile, Number.NEGATIVE_INFINITY)
  const came = known + guessed + waiting
  let worst: BallotsForecast['style'] = null
  for (const { style, name, share, ballots } of input.styles) {
    const left = ballots - each * share * came
    const needs: Spread = {
      mean: toCome.mean * share,
      extraVariance: toCome.extraVariance * share * share + came * share * (1 - share),
    }
    const spare = left - each * needs.mean
    const far = spare > FAR * each * Math.sqrt(needs.mean + needs.extraVariance)
    const chance = far ? 0 : left < 0 ? 1 : runOut(left, needs, each).chance
    if (!worst || chance > worst.chance) worst = { style, name, chance }
  }
  return worst
}
