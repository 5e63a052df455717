import type { DevicePlan } from '../../server/protocol/device.ts'
import { type PageState, standsNow } from './pageState.ts'

/** Why a tabulator is kept out of use until the office says otherwise. */
export type OutBecause = 'seal' | 'tape'

/**
 * The tabulators that are out of use, by the tag that stands there now: the seal of one of its containers is wrong, or
 * its opening tape was rejected. A tabulator in doubt never keeps the polls shut.
 */
export function tabulatorsOut(
  plan: DevicePlan,
  page: Pick<PageState, 'sealTrouble' | 'tapes' | 'replaced'>,
): ReadonlyMap<string, OutBecause> {
  const out = new Map<string, OutBecause>()
  for (const { tag } of plan.tabulators) {
    const now = standsNow(tag, page.replaced)
    // The seals are those of the machine that the plan names; another one in its place has its own.
    if (now === tag && page.sealTrouble.some(c => tabulatorOf(plan, c) === tag)) out.set(now, 'seal')
    else if (page.tapes[now] === 'rejected') out.set(now, 'tape')
  }
  return out
}

/**
 * The tabulator that a container belongs to, by its name: `tabulator-door-2` is the second one's, without a number
 * it is the first one's. null: it is no tabulator's.
 */
export function tabulatorOf(plan: Pick<DevicePlan, 'tabulators'>, container: string): string | null {
  if (!/^(tabulator|memory)/.test(container)) return null
  const number = Number(/-(\d+)$/.exec(container)?.[1] ?? 1)
  return plan.tabulators[number - 1]?.tag ?? null
}
