import type { PrecinctState } from '../../day/state.ts'
import { ENOUGH_GAPS, phi } from '../../silence/accrual.ts'
import { silentAt } from '../../silence/silence.ts'
import type { Instant } from '../../time.ts'
import { SECOND } from '../../time.ts'
import { ASSUMED, comingSoon } from '../atRisk.ts'
import type { Rule } from '../condition.ts'

/** What a precinct says by saying nothing, and what it asks. What it may cost can't be seen: bigger places first. */

/** No device heard for longer than policy allows (silence/silence.ts tells of whom that is asked). */
export const silent: Rule = {
  rule: 'silent',
  test(p, ctx) {
    // A standing reason ends by hearing; a record of silence isn't undone by a new grace.
    const at = silentAt(p, ctx.index, ctx.stands ? 0 : ctx.graceUntil)
    if (at === null || ctx.now < at) return null
    return {
      since: at,
      risk: comingSoon(ctx, ASSUMED.unseenMinutes),
      evidence: { heardAt: p.heardAt!, ...howUnlikely(p, p.silentSince ?? at) },
    }
  },
}

/** A chance smaller than one in so many is said as that: how far the tail of normal gaps holds beyond it nobody has seen. */
const MOST_UNLIKELY = 1_000

/**
 * Where its device has kept a rhythm for long enough: the usual gap in seconds, and one in how many gaps would be as
 * long as the quiet was when silence began (silence/accrual.ts); 1 to a thousand. Policy alone makes it silent.
 */
function howUnlikely({ rhythm, heardAt }: PrecinctState, at: Instant): Record<string, number> {
  if (rhythm.gaps < ENOUGH_GAPS || heardAt === null) return {}
  const oneIn = Math.round(10 ** phi(rhythm, at - heardAt))
  return { usualGapSeconds: Math.round(rhythm.mean / SECOND), oneIn: Math.min(MOST_UNLIKELY, oneIn) }
}

/** The precinct asked for help and no logged call has answered. It is never too old, and closing doesn't end it. */
export const helpAsked: Rule = {
  rule: 'help-asked',
  test(p, ctx) {
    if (!p.help) return null
    return {
      since: p.help.asOf,
      risk: comingSoon(ctx, ASSUMED.unseenMinutes),
      evidence: { ...p.help.is, askedAt: p.help.asOf },
    }
  },
}
