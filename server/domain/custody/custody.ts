import type { PrecinctState } from '../day/state.ts'
import type { PlannedIn } from '../plan/brief.ts'
import { plainSeal } from '../returns/plainSeal.ts'
import { type Chain, chainOf, type Expects, type Journey } from './chain.ts'

type Sealed = Pick<PrecinctState, 'sealWork' | 'departed' | 'received'>

/** The chains of a precinct's containers: the plan's in its order, then those that only the record names. */
export function custodyOf(p: Sealed, planned: PlannedIn): Chain[] {
  const journey = journeyOf(p)
  return containersOf(p, planned).map(container => chainIn(p, planned, container, journey))
}

/** The chain of one container. Without a journey: as it stands at the place. */
export function chainIn(
  p: Pick<Sealed, 'sealWork'>,
  planned: PlannedIn,
  container: string,
  journey?: Journey,
): Chain {
  const work = p.sealWork
    .filter(one => one.container === container)
    .map(({ asOf: at, act, seal: number, state }) => ({ at, act, number, state }))
  return chainOf(container, work, expectsOf(planned, container), journey)
}

/** What was to be there by a chain's wrong link, in words for evidence: '' where nothing was. */
export function againstOf(chain: Chain, planned: PlannedIn): string {
  const numbers = (chain.wrong?.against ?? []).map(one => one ?? planned.seals.get(chain.container) ?? '')
  return numbers.join(', ')
}

function expectsOf(planned: PlannedIn, container: string): Expects {
  const number = planned.seals.get(container)
  if (number === undefined) return { when: null, is: () => false }
  const plain = plainSeal(number)
  return {
    when: planned.openingSeals.includes(container) ? 'morning' : 'evening',
    is: other => plainSeal(other) === plain,
  }
}

function containersOf(p: Pick<Sealed, 'sealWork'>, planned: PlannedIn): string[] {
  const others = new Set(p.sealWork.map(one => one.container).filter(c => !planned.seals.has(c)))
  return [...planned.seals.keys(), ...[...others].sort()]
}

/** A heartbeat names no seals, and a tablet that says "received" has counted none. */
function journeyOf({ departed, received }: Sealed): Journey {
  const counted = received !== null && received.is.via !== 'device'
  return {
    left: departed && { at: departed.asOf, seals: departed.number === null ? null : departed.is.seals },
    received: received && { at: received.asOf, seals: counted ? received.is.seals : null },
  }
}
