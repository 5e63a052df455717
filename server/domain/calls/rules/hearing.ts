import { silentAt } from '../../silence/silence.ts'
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
      voterMinutes: comingSoon(ctx) * ASSUMED.unseenMinutes,
      evidence: { heardAt: p.heardAt! },
    }
  },
}

/** The precinct asked for help and no logged call has answered. It is never too old, and closing doesn't end it. */
export const helpAsked: Rule = {
  rule: 'help-asked',
  test(p, ctx) {
    if (!p.help) return null
    return {
      since: p.help.asOf,
      voterMinutes: comingSoon(ctx) * ASSUMED.unseenMinutes,
      evidence: { about: p.help.is.about, askedAt: p.help.asOf },
    }
  },
}
