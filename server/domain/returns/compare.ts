import type { PrecinctState } from '../day/state.ts'
import type { PlannedIn } from '../plan/brief.ts'

/** What a return was found to hold beside what it should: each list sorted, empty where all is well. */
export type ReturnDifference = {
  itemsMissing: string[]
  itemsExtra: string[]
  sealsMissing: string[]
  sealsExtra: string[]
}

/**
 * Compares what was checked in with what the precinct said it sent; where it didn't say (a heartbeat names
 * nothing), its seals are those that the plan expects at closing, and items are not compared. null: not
 * received, or nothing to compare with.
 */
export function compareReturn(
  p: Pick<PrecinctState, 'departed' | 'received'>,
  planned: PlannedIn,
): ReturnDifference | null {
  if (!p.received) return null
  const { items, seals } = p.received.is
  const said = p.departed && p.departed.number !== null ? p.departed.is : null
  const expectedSeals = said ? said.seals : closingSeals(planned)
  if (!said && expectedSeals.length === 0) return null
  return {
    itemsMissing: said ? without(said.items, items) : [],
    itemsExtra: said ? without(items, said.items) : [],
    sealsMissing: without(expectedSeals, seals),
    sealsExtra: without(seals, expectedSeals),
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

function without(list: readonly string[], found: readonly string[]): string[] {
  const there = new Set(found)
  return [...new Set(list)].filter(item => !there.has(item)).sort()
}
