import type { Entry } from '../log/entry.ts'
import { isPrecinctKind } from '../log/kinds.ts'
import { type ErrandKind, isErrandKind } from '../log/kindsOfErrand.ts'
import type { PlanIndex } from '../plan/brief.ts'
import { copyOf } from './copies.ts'
import { evolveDesk } from './evolveDesk.ts'
import { evolveErrand } from './evolveErrand.ts'
import { evolvePrecinct } from './evolvePrecinct.ts'
import { evolveCountyReason, evolveDay, evolveSystem } from './evolveSystem.ts'
import { heardFrom, hearing } from './heard.ts'
import { asideAnswered } from './keptAside.ts'
import type { DayState } from './state.ts'

/**
 * One entry folded into the day: changes the container in place and gives it back; every record in it stays as
 * it was made (state.ts). Never throws on an entry that the log let in: of a precinct that isn't in the plan
 * only the cursor remains.
 *
 * Precinct entries may come in any order that keeps each device's own: registers go by (asOf, source, number),
 * lists by the same, "heard" by recordedAt. Desk and system entries are decisions: they count in the log's order.
 */
export function evolve(state: DayState, entry: Entry, index: PlanIndex): DayState {
  if (entry.position > state.cursor) state.cursor = entry.position
  if (entry.recordedAt > state.recordedAt) state.recordedAt = entry.recordedAt
  if (entry.precinct === null) {
    if (entry.kind === 'ReasonRaised' || entry.kind === 'ReasonEnded') evolveCountyReason(state, entry)
    else evolveDay(state, entry)
    return state
  }
  const before = state.precincts.get(entry.precinct)
  const planned = index.precincts.get(entry.precinct)
  if (!before || !planned) return state
  const p = copyOf(before)
  if (entry.position > p.touchedAt) p.touchedAt = entry.position
  if (heardFrom(entry)) hearing(p, entry)
  asideAnswered(p, entry.source)
  // Before the errand, which may mark this precinct among others.
  state.precincts.set(entry.precinct, p)
  if (isPrecinctKind(entry.kind)) evolvePrecinct(p, entry, planned, index)
  else if (isErrand(entry)) evolveErrand(state, entry, index)
  else if (!evolveDesk(p, entry, index)) evolveSystem(p, entry)
  return state
}

function isErrand(entry: Entry): entry is Entry<ErrandKind> {
  return isErrandKind(entry.kind)
}
