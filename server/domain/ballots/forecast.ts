import type { BallotsForecast, TurnoutOutlook } from '../forecast/forecast.ts'
import type { DayInput, PrecinctInput } from '../forecast/input.ts'
import type { Spread } from '../numbers/counts.ts'
import { normalQuantile } from '../numbers/normal.ts'
import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'
import { QUARTER } from '../turnout/profile.ts'
import { runOut, shareUntilOut } from './runOut.ts'
import { votedBetween } from './used.ts'

/** A count of ballots older than this many of policy's count intervals says too little. */
const COUNTS_OLD = 3
/** Under this the instants of running out aren't sought. */
const NO_CHANCE = 0.001

/**
 * Whether a precinct's ballots last until closing. Its stock is the last count of ballots, less those for the
 * voters checked in since; each voter still to come needs policy's `ballotsMargin` ballots (a few are spoiled).
 * Null: no ballots were counted, or the count is older than three times policy's `countEveryMinutes`.
 * @param toCome voters who come from now to closing, as a count
 */
export function ballotsForecast(
  day: DayInput,
  input: PrecinctInput,
  outlook: TurnoutOutlook,
  toCome: Spread,
): BallotsForecast | null {
  const { ballots } = input
  const { policy } = day
  if (!ballots || day.at - ballots.at > COUNTS_OLD * policy.countEveryMinutes * MINUTE) return null
  const each = policy.ballotsMargin
  const { known, guessed, waiting } = votedBetween(day, input, outlook, ballots.at)
  const stock = Math.max(0, ballots.left - each * known)
  const wanted = later(toCome, guessed + waiting)
  const { chance, wanted: middle, wanted90 } = runOut(stock, wanted, each)
  const risky = chance >= NO_CHANCE
  const instant = (part: number) => {
    const share = risky ? shareUntilOut(stock, wanted, each, part) : null
    return share === null ? null : instantOf(day, outlook, wanted.mean * share - guessed - waiting)
  }
  const neededBy = instant(policy.ballotsChance)
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
    voterMinutes: risky ? waitingAfter(day, outlook, wanted, stock / each, guessed + waiting) : 0,
    style: worstStyle(day, input, outlook, toCome),
  }
}

/** The same count with those before it whose number is only expected: they are as uncertain, in proportion. */
function later(toCome: Spread, more: number): Spread {
  if (more <= 0) return toCome
  const mean = toCome.mean + more
  const logVariance = toCome.mean > 0 ? toCome.extraVariance / toCome.mean ** 2 : 0
  return { mean, extraVariance: logVariance * mean * mean }
}

/** When so many more voters will have come; now where it is none; closing at the latest. */
function instantOf(day: DayInput, { coming }: TurnoutOutlook, voters: number): Instant {
  let left = voters
  let from = day.at
  for (const quarter of coming) {
    const to = Math.min(
      day.closesAt,
      (Math.floor((from - day.midnight) / QUARTER) + 1) * QUARTER + day.midnight,
    )
    if (left <= 0) return Math.round(from)
    if (quarter >= left) return Math.round(from + ((to - from) * left) / quarter)
    left -= quarter
    from = to
  }
  return Math.round(Math.max(day.at, Math.min(from, day.closesAt)))
}

/** Parts of the days for which the waiting is reckoned, each for a fifth of them. */
const FIFTHS = [0.1, 0.3, 0.5, 0.7, 0.9].map(normalQuantile)

/**
 * Voter-minutes within policy's horizon of those who come when no ballot is left: each waits half of the time
 * between that instant and the horizon's end, averaged over what isn't known of how many come.
 * @param enough voters for whom the stock is enough
 */
function waitingAfter(
  day: DayInput,
  outlook: TurnoutOutlook,
  wanted: Spread,
  enough: number,
  before: number,
): number {
  const until = day.at + day.policy.horizonMinutes * MINUTE
  const variance = wanted.mean > 0 ? Math.log1p((wanted.mean + wanted.extraVariance) / wanted.mean ** 2) : 0
  let sum = 0
  for (const z of FIFTHS) {
    const factor = Math.exp(z * Math.sqrt(variance) - variance / 2)
    if (wanted.mean * factor < enough) continue
    const end = instantOf(day, outlook, enough / factor - before)
    if (end >= until) continue
    const without = comeBetween(day, outlook, end, until) * factor
    sum += without * ((until - end) / MINUTE / 2)
  }
  return sum / FIFTHS.length
}

function comeBetween(day: DayInput, { coming }: TurnoutOutlook, from: Instant, to: Instant): number {
  let sum = 0
  let start = day.at
  for (const quarter of coming) {
    const end = Math.min(
      day.closesAt,
      (Math.floor((start - day.midnight) / QUARTER) + 1) * QUARTER + day.midnight,
    )
    const part = Math.min(end, to) - Math.max(start, from)
    if (part > 0) sum += (quarter * part) / (end - start)
    start = end
  }
  return sum
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
): BallotsForecast['style'] {
  const each = day.policy.ballotsMargin
  const { known, guessed, waiting } = votedBetween(day, input, outlook, Number.NEGATIVE_INFINITY)
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
