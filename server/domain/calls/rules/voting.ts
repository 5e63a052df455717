import { stock } from '../../ballots/stock.ts'
import type { PrecinctState, Register } from '../../day/state.ts'
import { perMinute, waitMinutes } from '../../lines/wait.ts'
import type { Instant } from '../../time.ts'
import { MINUTE } from '../../time.ts'
import { heldBack, standingInLine } from '../atRisk.ts'
import type { Condition, Rule } from '../condition.ts'
import { absence } from '../condition.ts'

/** While voting goes on: counts, lines, ballots. */

/** A wait is said in minutes up to a day: with no station working it has no end. */
const LONGEST_WAIT = 1_440
/** A count of ballots left is worked with for as many count periods as this; use is reckoned on from it. */
const STOCK_PERIODS = 3
/** Ballots count as enough again at this much above the margin. */
const STOCK_OFF = 0.05

function countedAt(p: PrecinctState): Instant {
  let at = p.counts.checkedIn?.asOf ?? 0
  for (const tag in p.publicCounts) at = Math.max(at, p.publicCounts[tag]!.asOf)
  return at
}

/**
 * No count of voters or sheets for longer than policy asks, since opening or the last one, while the polls are
 * open and before closing time. Nobody waits for a count.
 */
export const countMissing: Rule = {
  rule: 'count-missing',
  test(p, ctx) {
    const { opensAt, closesAt } = ctx.index.brief
    if (p.polls?.is !== 'open' || ctx.now >= closesAt) return null
    const { countEveryMinutes } = ctx.index.plan.policy
    const last = countedAt(p)
    const from = Math.max(last, p.openedAt ?? p.polls.asOf, opensAt)
    const deadline = from + countEveryMinutes * MINUTE
    const due = absence(deadline, ctx)
    if (!due) return null
    const evidence: Record<string, number> = { everyMinutes: countEveryMinutes }
    if (last > 0) evidence.countedAt = last
    return { since: deadline, ...due, voterMinutes: 0, evidence }
  },
}

/**
 * The wait that the reported line means, at the stations working (those planned, where none were reported), is
 * over half an hour: the bound of the Presidential Commission on Election Administration, January 2014. Two
 * thresholds. A line reported longer ago than counts may be is not worked with. At risk: the area under the
 * line to the horizon.
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
    const wait = waitMinutes(line.is, perMinute(stations, policy.checkInMinutes))
    if (ctx.stands ? wait < policy.longLineEndMinutes : wait <= policy.longLineMinutes) return null
    const evidence: Condition['evidence'] = {
      inLine: line.is,
      countedAt: line.asOf,
      stations,
      waitMinutes: Math.min(LONGEST_WAIT, Math.round(wait)),
    }
    if (ctx.together) evidence.sharedBy = open.map(q => q.code)
    return {
      since: Math.max(line.asOf, since),
      voterMinutes: standingInLine(ctx, line.is, stations, expected),
      evidence,
    }
  },
}

/**
 * Ballots left (as of their count, less those expected to be used since) are fewer than the voters still
 * expected times policy's margin. Two thresholds. At risk: those who arrive after the last ballot, to the
 * horizon.
 */
export const ballotsLow: Rule = {
  rule: 'ballots-low',
  test(p, ctx) {
    const counted = p.counts.ballotsLeft
    const { policy } = ctx.index.plan
    const { brief } = ctx.index
    if (!counted || ctx.now >= brief.closesAt) return null
    if (ctx.now >= counted.asOf + STOCK_PERIODS * policy.countEveryMinutes * MINUTE) return null
    const checkedIn = p.counts.checkedIn ?? null
    const { left, stillExpected, runsOutAt } = stock(
      brief,
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
      voterMinutes: runsOutAt === null ? 0 : heldBack(ctx, runsOutAt),
      evidence,
    }
  },
}
