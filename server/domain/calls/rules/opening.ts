import { pollsSince } from '../../day/evolvePolls.ts'
import { heardToday } from '../../silence/silence.ts'
import { MINUTE } from '../../time.ts'
import { heldBack, slowedCheckIn } from '../atRisk.ts'
import type { Rule } from '../condition.ts'
import { absence } from '../condition.ts'

/** The morning: who is there, who will open, who hasn't. None of them speaks of a precinct that has closed. */

/**
 * Never heard on this day by any way, so many minutes after reporting time. At risk: what it costs if it isn't
 * open within the horizon. No figure is used, so none can be too old.
 */
export const notHeard: Rule = {
  rule: 'not-heard',
  test(p, ctx) {
    if (heardToday(p, ctx.index) !== null) return null
    const { reportAt, opensAt } = ctx.index.brief
    const deadline = reportAt + ctx.index.plan.policy.notHeardAfterMinutes * MINUTE
    const due = absence(deadline, ctx)
    if (!due) return null
    return { since: deadline, ...due, risk: heldBack(ctx, opensAt), evidence: { reportAt, opensAt } }
  },
}

/**
 * The team's own word that roles are not filled. It holds until the team says otherwise: people don't arrive
 * unreported. At risk: check-in slowed in proportion, until the horizon.
 */
export const teamShort: Rule = {
  rule: 'team-short',
  test(p, ctx) {
    const team = p.team
    if (!team) return null
    const { present, missing } = team.is
    const short = missing.reduce((sum, m) => sum + m.howMany, 0)
    if (short === 0) return null
    return {
      since: team.asOf,
      risk: slowedCheckIn(ctx, present / (present + short)),
      evidence: {
        present,
        short,
        missing: missing.slice(0, 20).map(m => (m.howMany > 1 ? `${m.howMany} × ${m.role}` : m.role)),
        asOfAt: team.asOf,
      },
    }
  },
}

/**
 * The legal hour has passed and the office doesn't know the polls to be open; or they were suspended since. At
 * risk: everybody who arrives from then to the horizon.
 */
export const notOpen: Rule = {
  rule: 'not-open',
  test(p, ctx) {
    const { opensAt, closesAt } = ctx.index.brief
    if (ctx.now < opensAt || ctx.now >= closesAt || p.polls?.is === 'open') return null
    if (p.polls?.is === 'suspended') {
      const suspendedAt = pollsSince(p)!
      const since = Math.max(suspendedAt, opensAt)
      return { since, risk: heldBack(ctx, since), evidence: { opensAt, suspendedAt } }
    }
    const due = absence(opensAt, ctx)
    if (!due) return null
    const evidence: Record<string, number | boolean> = { opensAt }
    if (p.heardAt !== null) evidence.heardAt = p.heardAt
    return { since: opensAt, ...due, risk: heldBack(ctx, opensAt), evidence }
  },
}
