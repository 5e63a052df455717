import { compareReturn, isDifferent } from '../../returns/compare.ts'
import { overdueAt } from '../../returns/expected.ts'
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
    return { since: deadline, ...due, risk: null, evidence }
  },
}

/**
 * A return that left and nobody said to be received within policy's minutes, or that hasn't left by the hour at which
 * all returns are to be in. Once it is called overdue, only the office ends it: by checking it in, or by writing down
 * that it came. What its own tablet says then is told with the reason, since nobody has seen the return yet.
 *
 * An expected arrival, where the plan allows one, is an estimate for the receiving table and makes nothing overdue.
 * The seals' numbers stay out of the evidence: who checks the return in is not to know them.
 */
export const returnOverdue: Rule = {
  rule: 'return-overdue',
  test(p, ctx) {
    const said = p.received
    if (said && (said.is.via !== 'device' || !ctx.stands)) return null
    const deadline = overdueAt(p, ctx.index)
    const due = absence(deadline, ctx)
    if (!due) return null
    const evidence: Condition['evidence'] = { returnByAt: ctx.index.brief.returnBy }
    if (p.departed) evidence.departedAt = p.departed.asOf
    if (said) Object.assign(evidence, { saidReceived: true, saidReceivedAt: said.asOf })
    return { since: deadline, ...due, risk: null, evidence }
  },
}

/**
 * A return was received and what it holds is not what was sent: items or seals differ. It ends when a call that was
 * logged after it in the log's order is solved (being watched explains nothing), or when it is checked in anew and
 * nothing differs. By position and not by time: a paper note written in late was known to nobody before.
 */
export const returnDifferent: Rule = {
  rule: 'return-different',
  test(p, ctx) {
    if (!p.received || p.solvedAt > p.received.is.position) return null
    const difference = compareReturn(p, ctx.at)
    if (difference === null || !isDifferent(difference)) return null
    const since = p.received.asOf
    return { since, risk: null, evidence: { receivedAt: since, ...difference } }
  },
}
