import type { DevicePlan } from '../../server/protocol/device.ts'
import { gapsWith } from './custodyHere.ts'
import type { PageState } from './pageState.ts'

/**
 * Whether a number that was read off a seal is the one expected there now; `unknown`: only the office can tell.
 * What is expected is neither known here nor shown: the plan's number by its print alone.
 */
export function sealSays(
  plan: DevicePlan,
  page: Pick<PageState, 'sealWork'>,
  container: string,
  number: string,
): 'agrees' | 'differs' | 'unknown' {
  const putOn = page.sealWork.some(w => w.container === container && w.act === 'applied')
  if (!Object.hasOwn(plan.sealPrints, container) && !putOn) return 'unknown'
  const gaps = gapsWith(plan, page.sealWork, { container, act: 'found', number, state: 'intact' })
  return gaps.includes('different') ? 'differs' : 'agrees'
}
