import type { DevicePlan } from '../../server/protocol/device.ts'
import { type PageState, standsNow } from './pageState.ts'
import type { Words } from './words/catalogue.ts'

/** What a machine is called here; its tag where the plan gives no label. */
export function labelOf(plan: DevicePlan, tag: string): string {
  const found = plan.tabulators.find(t => t.tag === tag) ?? plan.equipment.find(e => e.tag === tag)
  return found?.label || tag
}

/** A container's code as people read it: `tabulator-door-2` is "tabulator door 2". */
export function containerWords(container: string, { containers }: Words): string {
  const [, code = container, number] = /^(.+?)(?:-(\d+))?$/.exec(container) ?? []
  if (!Object.hasOwn(containers, code)) return container.replaceAll(/[-_]/g, ' ')
  const name = containers[code as keyof typeof containers]
  return number === undefined ? name : `${name} ${number}`
}

/** A kind of machine as people read it. */
export function kindWords(kind: string, { machines: { kinds } }: Words): string {
  return Object.hasOwn(kinds, kind) ? kinds[kind as keyof typeof kinds] : kind
}

/** A role of the team by the name that is sent, as people read it. */
export function roleWords(role: string, { roles }: Words): string {
  return Object.hasOwn(roles, role) ? roles[role as keyof typeof roles] : role
}

/** The tabulators that stand here now; one that took another's place keeps its label and has its own tag. */
export function tabulatorsNow(
  plan: DevicePlan,
  page: Pick<PageState, 'replaced'>,
  { machines }: Words,
): Array<{ tag: string; label: string }> {
  return plan.tabulators.map(t => {
    const tag = standsNow(t.tag, page.replaced)
    return { tag, label: tag === t.tag ? t.label || tag : machines.nowTag(t.label || t.tag, tag) }
  })
}

/** The usual English words of a machine's kind, with a number where there are several: what a plan's label often is. */
const USUAL: Readonly<Record<string, RegExp>> = {
  tabulator: /^tabulator(?: (\d+))?$/i,
  'accessible-station': /^accessible station(?: (\d+))?$/i,
  pollbook: /^pollbook(?: (\d+))?$/i,
  'ballot-box': /^ballot box(?: (\d+))?$/i,
  tablet: /^tablet(?: (\d+))?$/i,
}

/** The plan as it is read in the page's language: labels in the usual English words become that language's. */
export function labelledIn(plan: DevicePlan, words: Words): DevicePlan {
  if (words.language.tag === 'en') return plan
  const labelIn = (kind: string, label: string) => {
    const found = USUAL[kind]?.exec(label)
    if (!found) return label
    const name = kindWords(kind, words)
    const begun = name.charAt(0).toUpperCase() + name.slice(1)
    return found[1] === undefined ? begun : `${begun} ${found[1]}`
  }
  return {
    ...plan,
    tabulators: plan.tabulators.map(t => ({ ...t, label: labelIn('tabulator', t.label) })),
    equipment: plan.equipment.map(e => ({ ...e, label: labelIn(e.kind, e.label) })),
  }
}
