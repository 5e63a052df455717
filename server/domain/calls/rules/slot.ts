import { own } from '../../day/bounded.ts'
import { downSince } from '../../day/evolveEquipment.ts'
import type { PrecinctState } from '../../day/state.ts'
import { tabulatorsNow } from '../../day/steps.ts'
import type { Instant } from '../../time.ts'
import { MINUTE } from '../../time.ts'
import { ASSUMED, comingSoon } from '../atRisk.ts'
import type { Condition, Rule, RuleContext } from '../condition.ts'
import { isOutOfUse, worksSince } from '../equipment.ts'

/** The emergency slot: as it should be while a tabulator is out of use, and forgotten when none is. */

export const slotInUse: Rule = {
  rule: 'slot-in-use',
  test(p, ctx) {
    if (p.slot?.is !== 'open') return null
    const out = notTaking(p, ctx)
    if (out.length === 0) return null
    return {
      since: Math.max(p.slot.asOf, Math.min(...out.map(tag => outSince(p, tag)))),
      risk: comingSoon(ctx, ASSUMED.slotMinutes),
      evidence: withCount(p, { slotAt: p.slot.asOf, tabulators: [...out] }),
    }
  },
}

/**
 * The slot is still open so many minutes after every tabulator works. Nobody waits for it, but ballots keep
 * going where they must be fed later; the tier alone ranks it.
 */
export const slotForgotten: Rule = {
  rule: 'slot-forgotten',
  test(p, ctx) {
    // Where ballots are counted centrally there is no tabulator that could work again.
    if (ctx.at.precinct.counted === 'centrally') return null
    if (p.slot?.is !== 'open' || notTaking(p, ctx).length > 0) return null
    let from = p.slot.asOf
    for (const tag of tabulatorsNow(p, ctx.at))
      from = Math.max(from, worksSince(p, tag), verifiedSince(p, tag))
    const since = from + ctx.index.plan.policy.slotForgottenMinutes * MINUTE
    if (ctx.now < since) return null
    return { since, risk: null, evidence: withCount(p, { slotAt: p.slot.asOf, worksSinceAt: from }) }
  },
}

/** Tabulators in their places that take no ballots: out of use, or not yet verified where polls opened with the slot. */
function notTaking(p: PrecinctState, ctx: RuleContext): readonly string[] {
  return tabulatorsNow(p, ctx.at).filter(
    tag => isOutOfUse(p, tag) || (p.withSlot && own(p.tapes, tag) === undefined),
  )
}

function outSince(p: PrecinctState, tag: string): Instant {
  const down = downSince(p, tag)
  if (down !== null) return down
  const tape = own(p.tapes, tag)
  return tape?.is.is === 'rejected' ? tape.asOf : 0
}

function verifiedSince(p: PrecinctState, tag: string): Instant {
  const tape = own(p.tapes, tag)
  if (!tape) return 0
  return tape.rejection ? tape.asOf : (tape.verifiedAt ?? 0)
}

function withCount(p: PrecinctState, evidence: Condition['evidence']): Condition['evidence'] {
  const inSlot = p.counts.inSlot
  return inSlot ? { ...evidence, inSlot: inSlot.is, countedAt: inSlot.asOf } : evidence
}
