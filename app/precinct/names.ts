import type { DevicePlan } from '../../server/protocol/device.ts'

/** What a machine is called here; its tag where the plan gives no label. */
export function labelOf(plan: DevicePlan, tag: string): string {
  const found = plan.tabulators.find(t => t.tag === tag) ?? plan.equipment.find(e => e.tag === tag)
  return found?.label || tag
}

/** A container's code as people read it: `tabulator-door-2` is "tabulator door 2". */
export function containerWords(container: string): string {
  return container.replaceAll(/[-_]/g, ' ')
}
