import { perMinute, voterMinutesInLine } from '../lines/wait.ts'
import type { PlanIndex } from '../plan/brief.ts'
import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'
import { arrivals } from '../turnout/expected.ts'
import type { RuleContext } from './condition.ts'

/**
 * Voter-minutes at risk, in a first honest form: expected extra minutes of waiting, summed over voters, from
 * now (or from when the matter began) to the policy's horizon, if nothing is done. Arrivals come by the plan's
 * profile. Every formula is a fluid: it sees averages, no chance.
 */

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

/** End of the horizon: never after closing, since nobody arrives then. */
function horizon(ctx: { index: PlanIndex; now: Instant }): Instant {
  return Math.min(ctx.now + ctx.index.plan.policy.horizonMinutes * MINUTE, ctx.index.brief.closesAt)
}

/** The same for the whole county. */
export function comingToAll(index: PlanIndex, now: Instant): number {
  let expected = 0
  for (const p of index.plan.precincts) expected += p.expected
  return arrivals(index.brief, expected, Math.max(now, index.brief.opensAt), horizon({ index, now }))
}

/** Voters expected between now (or opening, where that is later) and the horizon. */
export function comingSoon(ctx: RuleContext): number {
  return arrivals(
    ctx.index.brief,
    ctx.at.precinct.expected,
    Math.max(ctx.now, ctx.index.brief.opensAt),
    horizon(ctx),
  )
}

/**
 * Nobody is served from one instant to another: everybody who arrives between waits until the end, on average
 * half the time: arrivals × minutes ÷ 2. Cut at the horizon; 0 where `from` lies beyond it.
 */
export function heldBack(ctx: RuleContext, from: Instant, until = Number.POSITIVE_INFINITY): number {
  const start = Math.max(from, ctx.index.brief.opensAt)
  const end = Math.min(until, horizon(ctx))
  if (end <= start) return 0
  return (arrivals(ctx.index.brief, ctx.at.precinct.expected, start, end) * (end - start)) / MINUTE / 2
}

/**
 * What fewer check-in stations cost: the area under the fluid line with those that work, less the area with
 * all of them, over the horizon.
 * @param share working share of the capacity, 0–1
 */
export function slowedCheckIn(ctx: RuleContext, share: number): number {
  const from = Math.max(ctx.now, ctx.index.brief.opensAt)
  const minutes = (horizon(ctx) - from) / MINUTE
  const coming = comingSoon(ctx)
  const full = perMinute(ctx.at.precinct.stations, ctx.index.plan.policy.checkInMinutes)
  return voterMinutesInLine(0, coming, minutes, full * share) - voterMinutesInLine(0, coming, minutes, full)
}

/** What a line costs from now to the horizon: the area under it. `expected`: voters of the day who join it. */
export function standingInLine(ctx: RuleContext, inLine: number, stations: number, expected: number): number {
  const { horizonMinutes, checkInMinutes } = ctx.index.plan.policy
  const coming = arrivals(ctx.index.brief, expected, Math.max(ctx.now, ctx.index.brief.opensAt), horizon(ctx))
  return voterMinutesInLine(inLine, coming, horizonMinutes, perMinute(stations, checkInMinutes))
}
