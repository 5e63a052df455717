import type { PrecinctState } from '../../day/state.ts'
import type { PlanIndex, PlannedIn } from '../../plan/brief.ts'
import { balanceOf, worstApart } from '../../reconcile/balance.ts'
import { holdsAtClose } from '../../reconcile/close.ts'
import type { Instant } from '../../time.ts'
import { MINUTE } from '../../time.ts'
import type { Condition, Rule } from '../condition.ts'
import { absence, reasonKey } from '../condition.ts'

/** Counts that are missing, that can't be, or that don't add up. Nobody waits for a count: the tier alone ranks these. */

function countedAt(p: PrecinctState): Instant {
  let at = p.counts.checkedIn?.asOf ?? 0
  for (const tag in p.publicCounts) at = Math.max(at, p.publicCounts[tag]!.asOf)
  return at
}

/**
 * No count of voters or sheets for longer than policy asks, since opening or the last one, while the polls are
 * open and before closing time.
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
    return { since: deadline, ...due, risk: null, evidence }
  },
}

/** A doubtful count is told for so many count periods; a newer one that is sound ends it before. */
const DOUBT_PERIODS = 2

/**
 * The latest count that can't be true beside the others (turnout/sound.ts), while no newer one is sound. Without a
 * forecast what stands is held no longer than it would be told with one.
 */
export const countDoubtful: Rule = {
  rule: 'count-doubtful',
  test(p, ctx) {
    const told = DOUBT_PERIODS * ctx.index.plan.policy.countEveryMinutes * MINUTE
    if (!ctx.forecast) {
      if (!ctx.standsOnForecast) return null
      const at = p.reasons[reasonKey('count-doubtful', p.code)]?.evidence.countedAt
      return typeof at === 'number' && ctx.now < at + told ? 'held' : null
    }
    const { faults, turnout } = ctx.forecast
    const fault = faults.at(-1)
    if (!fault || (turnout?.came && turnout.came.at > fault.at)) return null
    if (ctx.now >= fault.at + told) return null
    return {
      since: ctx.forecastAt,
      risk: null,
      evidence: {
        forecastAt: ctx.forecastAt,
        what: fault.what,
        count: fault.is,
        before: fault.before,
        countedAt: fault.at,
      },
    }
  },
}

/**
 * While people vote: ballots are missing, or voters and ballots differ, by more than those who are still voting and
 * counts of different minutes explain, and than policy's tolerance (reconcile/balance.ts). The policy's delay makes it
 * persistent: one hurried count is no reason.
 */
export const countsApart: Rule = {
  rule: 'counts-apart',
  test(p, ctx) {
    if (p.polls?.is !== 'open') return null
    return apart(p, ctx.at, ctx.index)
  },
}

const known = new WeakMap<PrecinctState, { index: PlanIndex; found: Condition | null }>()

/** States are never changed once made: what was found of one is so for good, and most are asked every second. */
function apart(p: PrecinctState, at: PlannedIn, index: PlanIndex): Condition | null {
  const before = known.get(p)
  if (before?.index === index) return before.found
  const worst = worstApart(balanceOf(p, at, index), index.plan.policy.countTolerance)
  let found: Condition | null = null
  if (worst) {
    const { left, right, difference, high, low, unexplained, at: oldestAt } = worst.difference
    let newestAt = left.asOf ?? oldestAt
    let sum = 0
    for (const { is, asOf } of right) {
      newestAt = Math.max(newestAt, asOf ?? 0)
      sum += is
    }
    found = {
      since: newestAt,
      risk: null,
      evidence: {
        of: worst.of,
        left: Math.round(left.is),
        right: Math.round(sum),
        difference: Math.round(difference),
        explained: Math.round(difference > 0 ? high : low),
        unexplained: Math.sign(unexplained) * Math.ceil(Math.abs(unexplained)),
        oldestAt,
        newestAt,
        parts: right.filter(part => part.is > 0).map(part => part.what),
      },
    }
  }
  known.set(p, { index, found })
  return found
}

/**
 * After closing: the counts as the precinct reconciled them differ by more than policy's tolerance, and no explanation
 * was written with them. It ends when they are reconciled anew, or with an explanation.
 */
export const notReconciled: Rule = {
  rule: 'not-reconciled',
  test(p, ctx) {
    const said = p.reconciled
    if (!said || said.is.explained || p.polls?.is === 'open') return null
    const { countTolerance } = ctx.index.plan.policy
    if (holdsAtClose(said.is, countTolerance)) return null
    return {
      since: said.asOf,
      risk: null,
      evidence: {
        ballots: said.is.ballots,
        voters: said.is.voters,
        tolerance: countTolerance,
        countedAt: said.asOf,
      },
    }
  },
}
