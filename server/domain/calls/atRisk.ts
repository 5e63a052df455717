import { perMinute, voterMinutesInLine } from '../lines/wait.ts'
import type { PlanIndex } from '../plan/brief.ts'
import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'
import { comingBetween } from '../turnout/coming.ts'
import { arrivals } from '../turnout/expected.ts'
import type { RuleContext } from './condition.ts'

/**
 * Voter-minutes at risk: expected extra minutes of waiting, summed over voters, from now (or from when the matter
 * began) to the policy's horizon, if nothing is done. Arrivals come by the forecast where there is one, else by the
 * plan's profile. Every formula here is a fluid: it sees averages, no chance.
 */
export type Risk = {
  /** Finite, ≥ 0, not rounded. */
  voterMinutes: number
  /** Whose minutes they are, not rounded; and the stretch in which they come or wait. */
  people: number
  from: Instant
  until: Instant
}

/**
 * Assumptions, not measurements; common practice has no figure for them. They only rank lines of one tier.
 */
export const ASSUMED = {
  /** Extra minutes a voter spends where the emergency slot takes the ballots. */
  slotMinutes: 0.5,
  /** Share of voters who use the accessible station. */
  accessibleShare: 0.02,
  /** Minutes a voter that a trouble which the office can't see may cost: it lets bigger places come first. */
  unseenMinutes: 1,
} as const

/** What of a rule's context says who comes. */
export type Coming = Pick<RuleContext, 'index' | 'now' | 'at' | 'forecast' | 'forecastAt'>

/** End of the horizon: never after closing, since nobody arrives then. */
export function horizon({ index, now }: { index: PlanIndex; now: Instant }): Instant {
  return Math.min(now + index.plan.policy.horizonMinutes * MINUTE, index.brief.closesAt)
}

/**
 * Voters (not rounded) who come between two instants. What lies before the forecast is the plan's; what comes after
 * it is spread evenly over what is left of each quarter hour.
 */
export function arrivalsHere(
  { index, at, forecast, forecastAt }: Coming,
  from: Instant,
  to: Instant,
): number {
  const { brief } = index
  const coming = forecast?.turnout?.coming
  if (!coming) return arrivals(brief, at.precinct.expected, from, to)
  const before = arrivals(brief, at.precinct.expected, from, Math.min(to, forecastAt))
  const { midnight, closesAt } = brief
  return before + comingBetween(coming, { at: forecastAt, midnight, closesAt }, from, to)
}

/** Everybody who comes between now (or opening, where that is later) and the horizon, each so many minutes. */
export function comingSoon(ctx: Coming, minutesEach: number): Risk {
  const from = Math.max(ctx.now, ctx.index.brief.opensAt)
  const until = Math.max(from, horizon(ctx))
  const people = arrivalsHere(ctx, from, until)
  return { voterMinutes: people * minutesEach, people, from, until }
}

/**
 * Nobody is served from one instant to another: everybody who arrives between waits until the end, on average
 * half the time: arrivals × minutes ÷ 2. Cut at the horizon; nothing where `from` lies beyond it.
 * @param share of the arrivals whom it concerns, 0–1
 */
export function heldBack(
  ctx: Coming,
  from: Instant,
  until = Number.POSITIVE_INFINITY,
  share = 1,
): Risk | null {
  const start = Math.max(from, ctx.index.brief.opensAt)
  const end = Math.min(until, horizon(ctx))
  if (end <= start) return null
  const people = arrivalsHere(ctx, start, end) * share
  return { voterMinutes: (people * (end - start)) / MINUTE / 2, people, from: start, until: end }
}

/**
 * What fewer check-in stations cost: the area under the fluid line with those that work, less the area with
 * all of them, over the horizon.
 * @param share working share of the capacity, 0–1
 */
export function slowedCheckIn(ctx: Coming, share: number): Risk {
  const soon = comingSoon(ctx, 0)
  const minutes = (soon.until - soon.from) / MINUTE
  const full = perMinute(ctx.at.precinct.stations, ctx.index.plan.policy.checkInMinutes)
  const area = (perMinuteServed: number) => voterMinutesInLine(0, soon.people, minutes, perMinuteServed)
  return { ...soon, voterMinutes: Math.max(0, area(full * share) - area(full)) }
}

/** Voters who come to a line: `expected` of the day join it, those of other precincts as those of this one do. */
export function arrivalsInLine(ctx: Coming, expected: number, from: Instant, to: Instant): number {
  const own = ctx.at.precinct.expected
  return own > 0
    ? (arrivalsHere(ctx, from, to) * expected) / own
    : arrivals(ctx.index.brief, expected, from, to)
}

/**
 * What a line costs from now to the horizon: the area under it.
 * @param expected voters of the day who join it, also those of other precincts
 * @param servedPerMinute voters whom all its stations take
 */
export function standingInLine(ctx: Coming, inLine: number, servedPerMinute: number, expected: number): Risk {
  const { horizonMinutes } = ctx.index.plan.policy
  const from = Math.max(ctx.now, ctx.index.brief.opensAt)
  const coming = arrivalsInLine(ctx, expected, from, horizon(ctx))
  return {
    voterMinutes: voterMinutesInLine(inLine, coming, horizonMinutes, servedPerMinute),
    people: inLine + coming,
    from: ctx.now,
    until: ctx.now + horizonMinutes * MINUTE,
  }
}

/** Voter-minutes as they are recorded: whole, finite, ≥ 0. */
export function recordedMinutes(risk: Risk | null): number {
  if (!risk) return 0
  return Number.isFinite(risk.voterMinutes)
    ? Math.max(0, Math.round(risk.voterMinutes))
    : Number.MAX_SAFE_INTEGER
}

/**
 * What the voter-minutes are made of, for the evidence: how many people (at least 1), between which instants, and
 * how many minutes each, to one decimal; nothing where there are none. The product is the voter-minutes, but for
 * that rounding.
 */
export function riskEvidence(risk: Risk | null): Record<string, number> {
  const minutes = recordedMinutes(risk)
  if (!risk || minutes === 0) return {}
  const riskPeople = Math.max(1, Math.round(risk.people))
  return {
    riskPeople,
    riskFromAt: Math.floor(risk.from),
    riskUntilAt: Math.floor(risk.until),
    riskEach: Math.round((minutes / riskPeople) * 10) / 10,
  }
}
