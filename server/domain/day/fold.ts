import type { Entry } from '../log/entry.ts'
import type { Kind } from '../log/kinds.ts'
import type { PlanIndex } from '../plan/brief.ts'
import type { Instant } from '../time.ts'
import { evolve } from './evolve.ts'
import type { DayState } from './state.ts'

/** Folds entries in the order given; changes and returns `state`. */
export function fold(state: DayState, entries: Iterable<Entry>, index: PlanIndex): DayState {
  for (const entry of entries) evolve(state, entry, index)
  return state
}

/** As known: what the office had heard by an instant. `entries` in the order of the log. */
export function foldUntil(
  state: DayState,
  entries: Iterable<Entry>,
  index: PlanIndex,
  until: Instant,
): DayState {
  for (const entry of entries) {
    if (entry.recordedAt > until) break
    evolve(state, entry, index)
  }
  return state
}

/** What the system concluded from what it knew then: no part of what was really so. */
const VERDICTS: ReadonlySet<Kind> = new Set<Kind>([
  'PrecinctFellSilent',
  'PrecinctHeardAgain',
  'ReasonRaised',
  'ReasonEnded',
  'ServiceResumed',
  'ForecastMade',
])

export function isVerdict(entry: Entry): boolean {
  return VERDICTS.has(entry.kind)
}

/**
 * As happened: what was so by an instant, whenever it came to be known; verdicts of the system left aside.
 * The order of the log serves here too, since precinct entries end in the same state in any order.
 */
export function foldAsHappened(
  state: DayState,
  entries: Iterable<Entry>,
  index: PlanIndex,
  until: Instant,
): DayState {
  for (const entry of entries) if (entry.occurredAt <= until && !isVerdict(entry)) evolve(state, entry, index)
  return state
}
