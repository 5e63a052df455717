import type { PrecinctState } from '../../day/state.ts'
import { tapeOfAll } from '../../day/steps.ts'
import type { ReadyForecast } from '../../forecast/forecast.ts'
import { readiness } from '../../readiness/readiness.ts'
import { heardToday } from '../../silence/silence.ts'
import { heldBack } from '../atRisk.ts'
import type { Condition, Rule, RuleContext } from '../condition.ts'
import { percent } from '../condition.ts'

/**
 * Probably not open by the legal hour, until the polls are open. A precinct that was never heard is not judged:
 * nothing is known; nor one where an opening tape stands rejected: when that is settled nobody can tell, and
 * `tape-rejected` speaks for it. Two thresholds. By the forecast (readiness/ready.ts) where there is one, else by how far
 * it is behind the usual times.
 */
export const behindOnOpening: Rule = {
  rule: 'behind-on-opening',
  test(p, ctx) {
    if (
      ctx.now >= ctx.index.brief.closesAt ||
      p.openedAt !== null ||
      p.polls?.is === 'open' ||
      heardToday(p, ctx.index) === null ||
      tapeOfAll(p, ctx.at) === 'rejected'
    )
      return null
    if (!ctx.stands && ctx.now < ctx.patientUntil) return null
    if (ctx.forecast) return ctx.forecast.ready && byForecast(ctx.forecast.ready, ctx)
    return ctx.standsOnForecast ? 'held' : byUsualTimes(p, ctx)
  },
}

/**
 * At risk: those whom the forecast expects between the legal hour and being ready, and what they wait. The evidence
 * has the chance of being late as what being ready leaves of 100, so that card and forecast say the same.
 */
function byForecast(ready: ReadyForecast, ctx: RuleContext): Condition | null {
  const { policy } = ctx.index.plan
  const late = 1 - ready.chance
  if (ready.holding === null) return null
  if (late < (ctx.stands ? policy.lateOpeningEndChance : policy.lateOpeningChance)) return null
  const { opensAt, closesAt } = ctx.index.brief
  const until = Math.min(Math.max(ready.by90, opensAt), closesAt)
  const evidence: Condition['evidence'] = {
    forecastAt: ctx.forecastAt,
    chancePercent: 100 - percent(ready.chance),
    readyAt: ready.by50,
    earliestAt: ready.by10,
    latestAt: ready.by90,
    step: ready.holding,
    done: ready.done,
    of: ready.of,
    opensAt,
  }
  if (ready.helpBy !== null) evidence.helpByAt = ready.helpBy
  return {
    since: ctx.forecastAt,
    notBefore: ctx.patientUntil,
    risk: {
      voterMinutes: ready.lateVoterMinutes,
      people: ready.latePeople,
      from: opensAt,
      until,
    },
    evidence,
  }
}

/** At risk: those who arrive between the legal hour and the expected ready time. */
function byUsualTimes(p: PrecinctState, ctx: RuleContext): Condition | null {
  const { policy } = ctx.index.plan
  const threshold = ctx.stands ? policy.behindOpeningEndMinutes : policy.behindOpeningMinutes
  const { reportAt, opensAt } = ctx.index.brief
  const ready = readiness(ctx.at.opening, reportAt, p.steps, ctx.now, policy.behindOpeningMinutes)
  if (ready.holding === null || ready.minutesBehind < threshold) return null
  return {
    since: ready.behindSince ?? ctx.now,
    notBefore: ctx.patientUntil,
    risk: heldBack(ctx, opensAt, ready.readyAt),
    evidence: {
      minutesBehind: Math.floor(ready.minutesBehind),
      step: ready.holding,
      done: ready.done,
      of: ready.of,
      readyAt: ready.readyAt,
      opensAt,
    },
  }
}
