import { type Chain, chainOf, type Expects, type Gap, type Work } from '../../server/domain/custody/chain.ts'
import { sealPrint } from '../../server/domain/plan/sealPrint.ts'
import type { DevicePlan } from '../../server/protocol/device.ts'
import type { SaidSealWork } from '../live/deviceSaid.ts'

/** `here`: said by this device since the office sent the plan, so `at` is by this device's clock; else day time. */
export type SealWorkHere = SaidSealWork & { here: boolean }

type Planned = Pick<DevicePlan, 'day' | 'containers' | 'closingContainers' | 'sealPrints'>

/** Every container whose seals are spoken of here: the plan's in its order, then those that only the record names. */
export function containersHere(plan: Planned, work: readonly SealWorkHere[]): string[] {
  return [...new Set([...plan.containers, ...plan.closingContainers, ...work.map(one => one.container)])]
}

/**
 * The chain of one container as this page knows it, by the same rules as in the office. The expected number is known
 * by its print alone.
 *
 * @param dayOf Day time of a piece of work; without it the order in which the work stands is taken for its time.
 */
export function chainHere(
  plan: Planned,
  work: readonly SealWorkHere[],
  container: string,
  dayOf?: (one: SealWorkHere) => number,
  left?: { at: number; seals: readonly string[] },
): Chain {
  const own: Work[] = work.flatMap((one, index) =>
    one.container === container
      ? [{ at: dayOf ? dayOf(one) : index, act: one.act, number: one.number, state: one.state }]
      : [],
  )
  return chainOf(container, own, expectsHere(plan, container), { left: left ?? null, received: null })
}

/** What would be amiss if this were the next thing done to the container. */
export function gapsWith(
  plan: Planned,
  work: readonly SealWorkHere[],
  next: Omit<SaidSealWork, 'at'>,
): readonly Gap[] {
  const before = work.filter(one => one.container === next.container)
  const chain = chainHere(plan, [...before, { ...next, at: '', here: true }], next.container)
  return chain.links[before.length]?.gaps ?? []
}

function expectsHere(plan: Planned, container: string): Expects {
  const print = plan.sealPrints[container]
  if (print === undefined) return { when: null, is: () => false }
  return {
    when: plan.containers.includes(container) ? 'morning' : 'evening',
    is: number => sealPrint(plan.day, container, number) === print,
  }
}
