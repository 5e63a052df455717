import { compareReturn, isDifferent } from '../../returns/compare.ts'
import { MINUTE } from '../../time.ts'
import type { Condition, Rule } from '../condition.ts'
import { absence } from '../condition.ts'

/** The evening. Nobody waits any more: the tier alone ranks these. */

/** So many minutes after closing time the office doesn't know the polls to be closed. */
export const notClosed: Rule = {
  rule: 'not-closed',
  test(p, ctx) {
    if (p.polls?.is === 'closed' || p.departed || p.received) return null
    const { closesAt } = ctx.index.brief
    const deadline = closesAt + ctx.index.plan.policy.notClosedAfterMinutes * MINUTE
    const due = absence(deadline, ctx)
    if (!due) return null
    const line = p.counts.inLine
    const evidence: Condition['evidence'] = { closesAt }
    if (line && line.asOf >= closesAt) {
      evidence.inLine = line.is
      evidence.countedAt = line.asOf
    }
    return { since: deadline, ...due, voterMinutes: 0, evidence }
  },
}

/**
 * A return that left and wasn't received within policy's minutes, or that hasn't left by the hour at which all
 * returns are to be in. The plan names no receiving place, so no travel time is reckoned: policy's minutes are
 * the whole allowance.
 */
export const returnOverdue: Rule = {
  rule: 'return-overdue',
  test(p, ctx) {
    if (p.received) return null
    const { returnBy } = ctx.index.brief
    const deadline = p.departed
      ? p.departed.asOf + ctx.index.plan.policy.returnOverdueMinutes * MINUTE
      : returnBy
    const due = absence(deadline, ctx)
    if (!due) return null
    const evidence: Condition['evidence'] = { returnByAt: returnBy }
    if (p.departed) {
      evidence.departedAt = p.departed.asOf
      evidence.seals = [...p.departed.is.seals]
    }
    return { since: deadline, ...due, voterMinutes: 0, evidence }
  },
}

/**
 * A return was checked in and what it holds is not what was sent: items or seals differ. It ends when a call about
 * it, after the check-in, was logged as solved or being watched, or when it is checked in anew and nothing differs.
 */
export const returnDifferent: Rule = {
  rule: 'return-different',
  test(p, ctx) {
    if (!p.received) return null
    const since = p.received.asOf
    if (p.helpAnsweredAt !== null && p.helpAnsweredAt >= since) return null
    const difference = compareReturn(p, ctx.at)
    if (difference === null || !isDifferent(difference)) return null
    return { since, voterMinutes: 0, evidence: { receivedAt: since, ...difference } }
  },
}
