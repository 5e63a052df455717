import type { DevicePlan } from '../../server/protocol/device.ts'
import { tabulatorsOut } from './outOfUse.ts'
import { type PageState, standsNow } from './pageState.ts'

type Page = Pick<PageState, 'polls' | 'slotOpen' | 'inSlot' | 'down' | 'sealTrouble' | 'tapes' | 'replaced'>

/**
 * What the emergency slot asks for: opened while a tabulator is down or out of use, locked whenever all work, and then
 * its ballots fed. `wait` are the ballots that should lie in it; null: not known. null as a whole: it asks for nothing.
 */
export function slotNow(
  plan: DevicePlan,
  page: Page,
): { does: 'open' | 'keep-open' | 'lock' | 'feed'; wait: number | null } | null {
  const out = tabulatorsOut(plan, page)
  const tags = plan.tabulators.map(t => standsNow(t.tag, page.replaced))
  const down = tags.some(tag => page.down.includes(tag) || out.has(tag))
  const wait = page.inSlot
  if (page.slotOpen && page.polls === 'closed') return { does: 'lock', wait }
  if (page.slotOpen) return { does: down ? 'keep-open' : 'lock', wait }
  if (down && page.polls !== 'closed') return { does: 'open', wait }
  return (wait ?? 0) > 0 ? { does: 'feed', wait } : null
}

/** Whether ballots lie in the slot, or may. */
export function slotHolds(
  plan: Pick<DevicePlan, 'tabulators'>,
  page: Pick<Page, 'slotOpen' | 'inSlot'>,
): boolean {
  return plan.tabulators.length > 0 && (page.slotOpen || (page.inSlot ?? 0) > 0)
}
