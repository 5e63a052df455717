import type { Entry } from '../log/entry.ts'
import type { ErrandKind } from '../log/kindsOfErrand.ts'
import type { PlanIndex } from '../plan/brief.ts'
import { copyOf } from './copies.ts'
import { type ErrandMove, forgetEnded, isOpenErrand, standingAfter } from './errand.ts'
import { mark } from './evolvePrecinct.ts'
import type { DayState, Errand } from './state.ts'

/**
 * Errands of the day: decisions, in the log's order. A new map takes the old one's place, so that what changed is
 * a comparison of references. Whoever arrives has been on the way, whether they said so or not: a step that was
 * left out stays null, since nobody knows when it was. Nothing moves an errand that has ended.
 *
 * One visit serves every precinct of a place: who arrives leaves the sign of a visit on each of their strips.
 */
export function evolveErrand(state: DayState, entry: Entry<ErrandKind>, index: PlanIndex) {
  const { precinct } = entry
  if (precinct === null || !state.precincts.has(precinct)) return
  const errands = new Map(state.errands)
  if (entry.kind === 'RoverAssigned') {
    const { errand: id, rover } = entry.body
    if (errands.has(id)) return
    errands.set(id, {
      id,
      rover,
      precinct,
      by: entry.origin.wrote ?? entry.source,
      is: 'assigned',
      assignedAt: entry.occurredAt,
      acceptedAt: null,
      onTheWayAt: null,
      onSiteAt: null,
      endedAt: null,
      position: entry.position,
      touchedAt: entry.position,
    })
    forgetEnded(errands)
  } else {
    const before = errands.get(entry.body.errand)
    if (!before || !isOpenErrand(before)) return
    errands.set(before.id, moved(before, entry))
    if (entry.kind === 'RoverArrived') visited(state, entry, index)
  }
  state.errands = errands
}

function moved(errand: Errand, entry: Entry<ErrandMove>): Errand {
  const at = entry.occurredAt
  const next = { ...errand, is: standingAfter[entry.kind], touchedAt: entry.position }
  switch (entry.kind) {
    case 'RoverAccepted':
      return { ...next, acceptedAt: at }
    case 'RoverOnTheWay':
      return { ...next, onTheWayAt: at }
    case 'RoverArrived':
      return { ...next, onSiteAt: at }
    default:
      return { ...next, endedAt: at }
  }
}

function visited(state: DayState, entry: Entry<'RoverArrived'>, index: PlanIndex) {
  const place = index.precincts.get(entry.precinct!)?.place.code
  for (const [code, planned] of index.precincts) {
    const before = state.precincts.get(code)
    if (planned.place.code !== place || !before) continue
    const p = copyOf(before)
    mark(p, { what: 'visit', at: entry.occurredAt, position: entry.position })
    p.touchedAt = Math.max(p.touchedAt, entry.position)
    state.precincts.set(code, p)
  }
}
