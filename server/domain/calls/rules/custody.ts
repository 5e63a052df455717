import { own } from '../../day/bounded.ts'
import { plainSeal } from '../../returns/plainSeal.ts'
import { ASSUMED, comingSoon } from '../atRisk.ts'
import type { Rule } from '../condition.ts'

/** What must be explained before anybody goes on: an opening tape that isn't right, a seal that isn't the planned one. */

/**
 * An opening tape was rejected and not verified since, and the tabulator wasn't replaced. Never a reason to keep
 * polls shut: at risk is only what the slot costs the voters. It holds until somebody says otherwise.
 */
export const tapeRejected: Rule = {
  rule: 'tape-rejected',
  subjects: p => Object.keys(p.tapes),
  test(p, ctx, tabulator) {
    const tape = own(p.tapes, tabulator)
    if (tape?.is.is !== 'rejected' || own(p.replaced, tabulator) !== undefined) return null
    return {
      since: tape.asOf,
      risk: comingSoon(ctx, ASSUMED.slotMinutes),
      evidence: {
        tabulator,
        problems: [...tape.is.problems],
        slotOpen: p.slot?.is === 'open',
        rejectedAt: tape.asOf,
      },
    }
  },
}

/**
 * A seal is broken, missing, or has another number than the plan's. Numbers are compared without spaces and case:
 * people write them by hand. Nobody waits for it; the tier alone ranks it. It holds until it is recorded anew.
 */
export const sealDifferent: Rule = {
  rule: 'seal-different',
  subjects: p => Object.keys(p.seals),
  test(p, ctx, container) {
    const seal = own(p.seals, container)
    if (!seal) return null
    const planned = ctx.at.seals.get(container)
    const { found, state } = seal.is
    if (state === 'intact' && (planned === undefined || plainSeal(planned) === plainSeal(found))) return null
    return {
      since: seal.asOf,
      risk: null,
      evidence: { container, planned: planned ?? '', found, state, recordedAt: seal.asOf },
    }
  },
}
