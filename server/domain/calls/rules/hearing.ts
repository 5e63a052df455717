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

/** Reports were kept aside, and the desk has neither accepted nor left them all. Closing doesn't end it. */
export const keptAside: Rule = {
  rule: 'kept-aside',
  test({ keptAside: kept }) {
    const open = Object.values(kept)
    if (open.length === 0) return null
    return {
      since: Math.min(...open.map(o => o.since)),
      risk: null,
      // As text, so that the card says another number a minute after it is another.
      evidence: { ofEach: open.map(o => String(o.howMany)) },
    }
  },
}

/**
 * The precinct asked for help and no logged call has answered. It is never too old, and closing doesn't end it. What was
 * asked for first gives the figures; `also` has the others, each as JSON text of the same figures.
 */
export const helpAsked: Rule = {
  rule: 'help-asked',
  test(p, ctx) {
    const [first, ...others] = p.help.map(({ is, asOf }) => ({ ...is, askedAt: asOf }))
    if (!first) return null
    return {
      since: first.askedAt,
      risk: comingSoon(ctx, ASSUMED.unseenMinutes),
      evidence: { ...first, also: others.map(other => JSON.stringify(other)) },
    }
  },
}

/**
 * The precinct said that it must leave its building. It stands until a call that was logged after it in the log's order
 * is solved (being watched moves nobody); closing doesn't end it, since the return comes from there. Where it goes may
 * be erased, so it is no evidence: the precinct's entries tell it.
 */
export const placeMoved: Rule = {
  rule: 'place-moved',
  test(p, ctx) {
    if (!p.moved || p.solvedAt > p.moved.is.position) return null
    return {
      since: p.moved.asOf,
      risk: comingSoon(ctx, ASSUMED.unseenMinutes),
      evidence: { cause: p.moved.is.cause, movedAt: p.moved.asOf },
    }
  },
}
