import type { Register } from '../../day/state.ts'
import type { LineForecast } from '../../forecast/forecast.ts'
import { perMinute, waitMinutes } from '../../lines/wait.ts'
import { MINUTE } from '../../time.ts'
import { arrivalsInLine, horizon, type Risk, standingInLine } from '../atRisk.ts'
import type { Condition, Rule, RuleContext } from '../condition.ts'
import { percent } from '../condition.ts'

/** Lines of voters: what is reported to be long, and what is forecast to become so. */

/** A wait is said in minutes up to a day: with no station working it has no end. */
const LONGEST_WAIT = 1_440

/**
 * The wait that the reported line means, at the stations working (those planned, where none were reported), is
 * over half an hour: the bound of the Presidential Commission on Election Administration, January 2014. Two
 * thresholds. A line reported longer ago than counts may be is not worked with. A station takes a voter as long as
 * the forecast saw it take today, without a forecast as long as planned. At risk: the waiting that the forecast
 * expects to the horizon, where it knows the report; else the area under the line.
 *
 * Where precincts stand in one line it is what any of them reported last (of reports of one instant the first in
 * the plan's order), before the stations of all of them that are open; judged once, at the first in the plan's order.
 */
export const longLine: Rule = {
  rule: 'long-line',
  ofLine: true,
  test(p, ctx) {
    const { policy } = ctx.index.plan
    const open = (ctx.together ?? [p]).filter(q => q.polls?.is === 'open')
    let line: Register<number> | undefined
    let stations = 0
    let expected = 0
    let since = 0
    for (const q of open) {
      const planned = ctx.index.precincts.get(q.code)!.precinct
      const said = q.counts.inLine
      if (said && (!line || said.asOf > line.asOf)) line = said
      stations += q.stationsWorking?.is ?? planned.stations
      expected += planned.expected
      since = Math.max(since, q.stationsWorking?.asOf ?? 0)
    }
    if (!line || ctx.now >= line.asOf + policy.countEveryMinutes * MINUTE) return null
    const foreseen = ctx.forecast?.line ?? null
    const rate = perMinute(stations, foreseen?.serviceMinutes ?? policy.checkInMinutes)
    const wait = waitMinutes(line.is, rate)
    if (ctx.stands ? wait < policy.longLineEndMinutes : wait <= policy.longLineMinutes) return null
    const evidence: Condition['evidence'] = {
      inLine: line.is,
      countedAt: line.asOf,
      stations,
      waitMinutes: Math.min(LONGEST_WAIT, Math.round(wait)),
    }
    if (foreseen) evidence.serviceMinutes = oneDecimal(foreseen.serviceMinutes)
    if (ctx.together) evidence.sharedBy = open.map(q => q.code)
    const known = foreseen?.said && foreseen.said.at >= line.asOf
    return {
      since: Math.max(line.asOf, since),
      risk: known ? foretold(foreseen, ctx, expected) : standingInLine(ctx, line.is, rate, expected),
      evidence,
    }
  },
}

/**
 * A voter who comes within two hours probably waits longer than policy's long line, by the forecast alone
 * (lines/transient.ts). Two thresholds. At risk: the waiting that the forecast expects to the horizon. Judged where the
 * line is forecast: of several precincts in one line at the first.
 */
export const lineGrowing: Rule = {
  rule: 'line-growing',
  ofLine: true,
  test(p, ctx) {
    const open = (ctx.together ?? [p]).filter(q => q.polls?.is === 'open')
    if (open.length === 0 || ctx.now >= ctx.index.brief.closesAt) return null
    if (!ctx.forecast) return ctx.standsOnForecast ? 'held' : null
    const { line } = ctx.forecast
    const { policy } = ctx.index.plan
    const threshold = ctx.stands ? policy.lineGrowingEndChance : policy.lineGrowingChance
    if (!line?.worst || line.worst.chance < threshold) return null
    const evidence: Condition['evidence'] = {
      forecastAt: ctx.forecastAt,
      worstAt: line.worst.at,
      chancePercent: percent(line.worst.chance),
      longMinutes: policy.longLineMinutes,
      waitMinutes: Math.min(LONGEST_WAIT, Math.round(line.waitNow)),
      inLine: Math.round(line.inLine),
      bottleneck: line.bottleneck,
      loadPercent: Math.round(line.load * 100),
      serviceMinutes: oneDecimal(line.serviceMinutes),
    }
    if (line.said) Object.assign(evidence, { said: line.said.is, saidAt: line.said.at })
    if (ctx.together) evidence.sharedBy = open.map(q => q.code)
    let expected = 0
    for (const q of open) expected += ctx.index.precincts.get(q.code)!.precinct.expected
    return { since: ctx.forecastAt, risk: foretold(line, ctx, expected), evidence }
  },
}

/**
 * The waiting that the forecast expects within policy's horizon: who is in line at closing waits on, only arrivals end.
 * @param expected voters of the day who join the line
 */
function foretold(line: LineForecast, ctx: RuleContext, expected: number): Risk {
  const { now } = ctx
  const people = line.inLine + arrivalsInLine(ctx, expected, now, Math.max(now, horizon(ctx)))
  const until = now + ctx.index.plan.policy.horizonMinutes * MINUTE
  return { voterMinutes: line.voterMinutes, people, from: now, until }
}

function oneDecimal(n: number): number {
  return Math.round(n * 10) / 10
}
