import { downSince } from '../../day/evolveEquipment.ts'
import { ASSUMED, comingSoon, heldBack } from '../atRisk.ts'
import type { Rule } from '../condition.ts'
import { anotherInUse, isDown, kindOf } from '../equipment.ts'

/** Equipment that is down. It holds until somebody says otherwise. */

/**
 * At risk: where the slot is open or another tabulator works, a little for every voter; else everybody who
 * arrives (and can't put in a ballot) from when it went down to the horizon.
 */
export const tabulatorDown: Rule = {
  rule: 'tabulator-down',
  subjects: p => Object.keys(p.down),
  test(p, ctx, tabulator) {
    if (!isDown(p, tabulator) || kindOf(p, ctx.at, tabulator) !== 'tabulator') return null
    const downAt = downSince(p, tabulator)!
    const slotOpen = p.slot?.is === 'open'
    const another = anotherInUse(p, ctx.at, tabulator)
    return {
      since: downAt,
      risk: slotOpen || another ? comingSoon(ctx, ASSUMED.slotMinutes) : heldBack(ctx, downAt),
      evidence: { tabulator, slotOpen, another, downAt },
    }
  },
}

/** At risk: the assumed share of voters who need it, held back until it works. */
export const accessibleDown: Rule = {
  rule: 'accessible-down',
  subjects: p => Object.keys(p.down),
  test(p, ctx, tag) {
    if (!isDown(p, tag) || kindOf(p, ctx.at, tag) !== 'accessible-station') return null
    const downAt = downSince(p, tag)!
    return {
      since: downAt,
      risk: heldBack(ctx, downAt, undefined, ASSUMED.accessibleShare),
      evidence: { equipment: tag, downAt },
    }
  },
}
