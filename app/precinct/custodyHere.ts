import { type Chain, chainOf, type Expects, type Gap, type Work } from '../../server/domain/custody/chain.ts'
import { sealPrint } from '../../server/domain/plan/sealPrint.ts'
import { plainSeal } from '../../server/domain/returns/plainSeal.ts'
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

/**
 * The numbers of the seals that were put on a container today and are on it by what is on record, in the order in
 * which they were put on. A seal that was seen missing or broken, or opened, is on it no more.
 */
export function sealedWith(work: readonly SealWorkHere[], container: string): string[] {
  let on: string[] = []
  for (const { act, number, state } of work.filter(one => one.container === container)) {
    if (act === 'opened' || state !== 'intact' || number === null) on = []
    else if (act === 'applied') on.push(number)
    else if (act === 'removed') on = on.length > 1 ? on.filter(one => !same(one, number)) : []
  }
  return on
}

/**
 * Numbers of a chain that are expected at the next look: until then the page shows them only as on record, or a worker
 * reads them from the page and not from the seal.
 */
export function expectedNext(chain: Chain): ReadonlySet<string> {
  let on: string[] = []
  for (const { act, number, gaps } of chain.links) {
    if (number === null) continue
    if (act === 'removed') on = on.length > 1 ? on.filter(one => !same(one, number)) : []
    else if (gaps.includes('missing')) on = []
    else if (act !== 'opened' && !gaps.includes('different') && !on.some(one => same(one, number)))
      on.push(number)
  }
  return new Set(on.map(plainSeal))
}

const same = (a: string, b: string) => plainSeal(a) === plainSeal(b)

function expectsHere(plan: Planned, container: string): Expects {
  const print = plan.sealPrints[container]
  if (print === undefined) return { when: null, is: () => false }
  return {
    when: plan.containers.includes(container) ? 'morning' : 'evening',
    is: number => sealPrint(plan.day, container, number) === print,
  }
}
