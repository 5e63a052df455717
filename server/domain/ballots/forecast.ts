import type { BallotsForecast, TurnoutOutlook } from '../forecast/forecast.ts'
import type { DayInput, PrecinctInput } from '../forecast/input.ts'
import type { Spread } from '../numbers/counts.ts'
import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'
import { comingBetween, instantWhen } from '../turnout/coming.ts'
import { runOut, shareUntilOut } from './runOut.ts'
import { STOCK_PERIODS } from './stock.ts'
import { votedBetween } from './used.ts'

/** Under this the instants of running out aren't sought. */
const NO_CHANCE = 0.001

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
  const { ballots, tripMinutes } = input
  const { ballotsMargin: each, countEveryMinutes } = day.policy
  if (!ballots || day.at - ballots.at > STOCK_PERIODS * countEveryMinutes * MINUTE) return null
  const { known, guessed, waiting } = votedBetween(day, input, outlook, profile, ballots.at)
  const stock = Math.max(0, ballots.left - each * known)
  const wanted = later(toCome, guessed + waiting)
  const { chance, wanted: middle, wanted90 } = runOut(stock, wanted, each)
  const all = outOf(day, outlook, { chance, left: stock, wanted, before: guessed + waiting, share: 1 })
  const style = worstStyle(day, input, outlook, toCome, profile)
  const ofStyle = style && outOf(day, outlook, style)
  const neededBy = sooner(all.neededBy, ofStyle?.neededBy ?? null)
  const { voterMinutes, outFrom, outUntil } = ofStyle && costsMore(style, chance) ? ofStyle : all
  return {
    left: Math.max(0, Math.round(stock - each * guessed)),
    countedAt: ballots.at,
    wanted: Math.max(0, Math.round(middle - each * guessed)),
    wanted90: Math.max(0, Math.round(wanted90 - each * guessed)),
    chance,
    endsAt: all.endsAt,
    neededBy,
    leaveBy: neededBy === null || tripMinutes === null ? null : neededBy - Math.ceil(tripMinutes) * MINUTE,
    voterMinutes,
    outFrom,
    outUntil,
    style: style && { style: style.style, name: style.name, chance: style.chance },
  }
}

/**
 * Whether a style alone costs more of those who come a ballot than all ballots together do, on average.
 * @param chance that all together run out
 */
export function costsMore(style: { chance: number; share: number }, chance: number): boolean {
  return style.chance * style.share > chance
}

function sooner(a: Instant | null, b: Instant | null): Instant | null {
  return a === null || b === null ? (a ?? b) : Math.min(a, b)
}

/** The same count with those before it whose number is only expected: they are as uncertain, in proportion. */
function later(toCome: Spread, more: number): Spread {
  if (more <= 0) return toCome
  const mean = toCome.mean + more
  const logVariance = toCome.mean > 0 ? toCome.extraVariance / toCome.mean ** 2 : 0
  return { mean, extraVariance: logVariance * mean * mean }
}

/** Ballots of one kind, or all of them, against those who need them. */
type Stock = {
  /** That they run out before closing, 0–1. */
  chance: number
  left: number
  /** Voters who need one until closing, and how many of these are no longer to come. */
  wanted: Spread
  before: number
  /** Of the voters to come those who need one, 0–1. */
  share: number
}

type Out = Pick<BallotsForecast, 'endsAt' | 'neededBy' | 'voterMinutes' | 'outFrom' | 'outUntil'>

/** When a stock runs out, and what that costs. */
function outOf(day: DayInput, outlook: TurnoutOutlook, { chance, left, wanted, before, share }: Stock): Out {
  const { ballotsMargin: each, ballotsChance } = day.policy
  const instant = (part: number) => {
    const gone = chance >= NO_CHANCE ? shareUntilOut(left, wanted, each, part) : null
    return gone === null ? null : instantWhen(outlook.coming, day, (wanted.mean * gone - before) / share)
  }
  // The middle of the days on which it runs out, of all days this part.
  const outFrom = instant(chance / 2)
  return {
    endsAt: chance >= 0.5 ? instant(0.5) : null,
    neededBy: instant(ballotsChance),
    ...(outFrom === null
      ? { voterMinutes: 0, outFrom, outUntil: null }
      : without(day, outlook, chance * share, outFrom)),
  }
}

/**
 * What running out costs if nobody acts: where and when those wait who come when no ballot is left, half the time
 * each on average, until policy's horizon after the last ballot or closing.
 * @param part the chance of it, times the share of the voters whom it concerns
 */
function without(
  day: DayInput,
  { coming }: TurnoutOutlook,
  part: number,
  outFrom: Instant,
): Pick<Out, 'voterMinutes' | 'outFrom' | 'outUntil'> {
  const until = Math.min(day.closesAt, outFrom + day.policy.horizonMinutes * MINUTE)
  const outUntil = Math.max(outFrom, until)
  const people = comingBetween(coming, day, outFrom, outUntil)
  return { voterMinutes: (part * people * (outUntil - outFrom)) / MINUTE / 2, outFrom, outUntil }
}

/** Beyond this many standard deviations a style's ballots last. */
const FAR = 6

/**
 * The style most likely to run out. Nobody counts ballots by style during the day: of each style as many are taken
 * to be used as its share of the voters so far, each of whom needs it with that chance (binomial); how far off that
 * may be is part of the spread of those who will need it.
 */
function worstStyle(
  day: DayInput,
  input: PrecinctInput,
  outlook: TurnoutOutlook,
  toCome: Spread,
  profile: readonly number[],
): (Stock & { style: string; name: string }) | null {
  const each = day.policy.ballotsMargin
  const { known, guessed, waiting } = votedBetween(day, input, outlook, profile, Number.NEGATIVE_INFINITY)
  const came = known + guessed + waiting
  let worst: (Stock & { style: string; name: string }) | null = null
  for (const { style, name, share, ballots } of input.styles) {
    const left = ballots - each * share * came
    const wanted: Spread = {
      mean: toCome.mean * share,
      extraVariance: toCome.extraVariance * share * share + came * share * (1 - share),
    }
    const spare = left - each * wanted.mean
    const far = spare > FAR * each * Math.sqrt(wanted.mean + wanted.extraVariance)
    const chance = far || toCome.mean <= 0 ? 0 : left < 0 ? 1 : runOut(left, wanted, each).chance
    if (!worst || chance > worst.chance) worst = { style, name, chance, left, wanted, before: 0, share }
  }
  return worst
}
