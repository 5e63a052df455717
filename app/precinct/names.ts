import type { DevicePlan } from '../../server/protocol/device.ts'
import { type PageState, standsNow } from './pageState.ts'

/** What a machine is called here; its tag where the plan gives no label. */
export function labelOf(plan: DevicePlan, tag: string): string {
  const found = plan.tabulators.find(t => t.tag === tag) ?? plan.equipment.find(e => e.tag === tag)
  return found?.label || tag
}

/** A container's code as people read it: `tabulator-door-2` is "tabulator door 2". */
export function containerWords(container: string): string {
  return container.replaceAll(/[-_]/g, ' ')
}

/** The tabulators that stand here now; one that took another's place keeps its label and has its own tag. */
export function tabulatorsNow(
  plan: DevicePlan,
  page: Pick<PageState, 'replaced'>,
): Array<{ tag: string; label: string }> {
  return plan.tabulators.map(t => {
    const tag = standsNow(t.tag, page.replaced)
    return { tag, label: tag === t.tag ? t.label || tag : `${t.label || t.tag}, now ${tag}` }
  })
}
