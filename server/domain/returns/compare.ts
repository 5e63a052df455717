import type { PrecinctState } from '../day/state.ts'
import type { PlannedIn } from '../plan/brief.ts'
import { plainSeal } from './plainSeal.ts'

/** What a return was found to hold beside what it should: each list sorted, empty where all is well. */
export type ReturnDifference = {
  itemsMissing: string[]
  itemsExtra: string[]
  sealsMissing: string[]
  sealsExtra: string[]
}

/** What a return should hold. `items` null: nobody said, so items are not compared. */
export type ReturnSent = {
  items: readonly string[] | null
  seals: readonly string[]
  carriers: number | null
}

/**
 * What the precinct said it sent; where it didn't say (a heartbeat names nothing, and some say nothing at all), the
 * seals that the plan expects at closing.
 */
export function sentOf(p: Pick<PrecinctState, 'departed'>, planned: PlannedIn): ReturnSent {
  const said = p.departed && p.departed.number !== null ? p.departed.is : null
  return said ?? { items: null, seals: closingSeals(planned), carriers: null }
}

/**
 * Compares what was checked in with what was sent. Seals are compared without spaces and case and shown as they
 * were written. null: not received, or nothing to compare with.
 */
export function compareReturn(
  p: Pick<PrecinctState, 'departed' | 'received'>,
  planned: PlannedIn,
): ReturnDifference | null {
  if (!p.received) return null
  const found = p.received.is
  const sent = sentOf(p, planned)
  if (sent.items === null && sent.seals.length === 0) return null
  return {
    itemsMissing: sent.items === null ? [] : without(sent.items, found.items),
    itemsExtra: sent.items === null ? [] : without(found.items, sent.items),
    sealsMissing: without(sent.seals, found.seals, plainSeal),
    sealsExtra: without(found.seals, sent.seals, plainSeal),
  }
}

/** Whether anything differs. */
export function isDifferent(difference: ReturnDifference | null): boolean {
  return difference !== null && Object.values(difference).some(list => list.length > 0)
}

/** Numbers of the plan's seals that are set in the evening. */
export function closingSeals(planned: PlannedIn): string[] {
  const morning = new Set(planned.openingSeals)
  return [...planned.seals].filter(([container]) => !morning.has(container)).map(([, number]) => number)
}

function without(
  list: readonly string[],
  found: readonly string[],
  plain: (text: string) => string = text => text,
): string[] {
  const there = new Set(found.map(plain))
  return [...new Set(list)].filter(item => !there.has(plain(item))).sort()
}
