import { costsMore } from '../../ballots/forecast.ts'
import { STOCK_PERIODS, stock } from '../../ballots/stock.ts'
import type { PrecinctState } from '../../day/state.ts'
import type { BallotsForecast } from '../../forecast/forecast.ts'
import { MINUTE } from '../../time.ts'
import { arrivalsHere, heldBack, type Risk } from '../atRisk.ts'
import type { Condition, Rule, RuleContext } from '../condition.ts'
import { percent } from '../condition.ts'

/** Ballots count as enough again at this much above the margin. */
const STOCK_OFF = 0.05

/**
 * Ballots that will not last until closing, all or those of one style. Two thresholds. By the chance of the forecast
 * (ballots/runOut.ts) where there is one, else by the count.
 */
export const ballotsLow: Rule = {
  rule: 'ballots-low',
  test(p, ctx) {
    if (ctx.now >= ctx.index.brief.closesAt) return null
    if (ctx.forecast) return ctx.forecast.ballots && byForecast(ctx.forecast.ballots, ctx)
    return ctx.standsOnForecast ? 'held' : byCount(p, ctx)
  },
}

/** More likely than not is told at once, however far off it is. */
const LIKELY = 0.5
/** What is less likely waits while at least so many more counts come before anybody has to set out with ballots. */
const COUNTS_TO_COME = 2

/**
 * Whether the day will say more in time. In the morning nearly every stock has some chance of not lasting until the
 * evening, since nobody knows yet how many will come: told of all, the list would be of no use.
 */
function canWait(ballots: BallotsForecast, chance: number, { index, now }: RuleContext): boolean {
  if (chance >= LIKELY) return false
  const act = Math.min(ballots.leaveBy ?? Number.POSITIVE_INFINITY, ballots.neededBy ?? index.brief.closesAt)
  return now < act - COUNTS_TO_COME * index.plan.policy.countEveryMinutes * MINUTE
}

/** At risk: what running out costs if nobody acts, by the forecast, however far off it is. */
function byForecast(ballots: BallotsForecast, ctx: RuleContext): Condition | null {
  const { policy } = ctx.index.plan
  const { style } = ballots
  const chance = Math.max(ballots.chance, style?.chance ?? 0)
  if (chance < (ctx.stands ? policy.ballotsEndChance : policy.ballotsChance)) return null
  if (!ctx.stands && canWait(ballots, chance, ctx)) return null
  const evidence: Condition['evidence'] = {
    forecastAt: ctx.forecastAt,
    chancePercent: percent(ballots.chance),
    left: Math.floor(ballots.left),
    countedAt: ballots.countedAt,
    wanted: Math.ceil(ballots.wanted),
    wanted90: Math.ceil(ballots.wanted90),
  }
  if (ballots.endsAt !== null) evidence.endsAt = ballots.endsAt
  if (ballots.neededBy !== null) evidence.neededByAt = ballots.neededBy
  if (ballots.leaveBy !== null) evidence.leaveByAt = ballots.leaveBy
  if (style) Object.assign(evidence, { style: style.name, stylePercent: percent(style.chance) })
  return { since: ctx.forecastAt, risk: withoutBallots(ballots, ctx), evidence }
}

/** Of those who come, those who need the style where it is that whose minutes they are (BallotsForecast.voterMinutes). */
function withoutBallots(ballots: BallotsForecast, ctx: RuleContext): Risk | null {
  const { voterMinutes, outFrom: from, outUntil: until, style } = ballots
  if (from === null || until === null) return null
  const share = ctx.at.styles.find(s => s.style === style?.style)?.share ?? 1
  const ofStyle = style && costsMore({ chance: style.chance, share }, ballots.chance)
  const people = arrivalsHere(ctx, from, until) * (ofStyle ? share : 1)
  return { voterMinutes, people, from, until }
}

/**
 * Ballots left (as of their count, less those expected to be used since) are fewer than the voters still expected
 * times policy's margin. At risk: those who arrive after the last ballot, to the horizon.
 */
function byCount(p: PrecinctState, ctx: RuleContext): Condition | null {
  const counted = p.counts.ballotsLeft
  const { policy } = ctx.index.plan
  if (!counted || ctx.now >= counted.asOf + STOCK_PERIODS * policy.countEveryMinutes * MINUTE) return null
  const checkedIn = p.counts.checkedIn ?? null
  const { left, stillExpected, runsOutAt } = stock(
    ctx.index.brief,
    ctx.at.precinct.expected,
    counted,
    checkedIn,
    ctx.now,
  )
  const margin = ctx.stands ? policy.ballotsMargin + STOCK_OFF : policy.ballotsMargin
  if (stillExpected < 1 || left >= stillExpected * margin) return null
  const evidence: Record<string, number> = {
    counted: counted.is,
    countedAt: counted.asOf,
    left: Math.floor(left),
    stillExpected: Math.ceil(stillExpected),
  }
  if (runsOutAt !== null) evidence.runsOutAt = runsOutAt
  return {
    since: Math.max(counted.asOf, checkedIn?.asOf ?? 0),
    risk: runsOutAt === null ? null : heldBack(ctx, runsOutAt),
    evidence,
  }
}
