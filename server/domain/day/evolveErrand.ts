import type { Entry } from '../log/entry.ts'
import { type ErrandKind, errandKinds } from '../log/kindsOfErrand.ts'
import { type DayState, type Errand, type ErrandStanding, LIMITS } from './state.ts'

export function isErrandKind(kind: string): kind is ErrandKind {
  return Object.hasOwn(errandKinds, kind)
}

const standingAfter = {
  RoverAccepted: 'accepted',
  RoverOnTheWay: 'on-the-way',
  RoverArrived: 'on-site',
  RoverFinished: 'done',
  RoverGaveBack: 'given-back',
} as const satisfies Record<Exclude<ErrandKind, 'RoverAssigned'>, ErrandStanding>

/** Whether a rover is still on it. */
export function isOpenErrand(errand: Errand): boolean {
  return errand.endedAt === null
}

/**
 * Errands of the day: decisions, in the log's order. A new map takes the old one's place, so that what changed is
 * a comparison of references. Whoever arrives has been on the way, whether they said so or not: a step that was
 * left out stays null, since nobody knows when it was.
 */
export function evolveErrand(state: DayState, entry: Entry<ErrandKind>) {
  const { precinct } = entry
  if (precinct === null || !state.precincts.has(precinct)) return
  const errands = new Map(state.errands)
  if (entry.kind === 'RoverAssigned') {
    const { errand: id, rover } = entry.body
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
  }
  state.errands = errands
}

function moved(errand: Errand, entry: Entry<Exclude<ErrandKind, 'RoverAssigned'>>): Errand {
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

/** The ended ones that were assigned first go first; the log keeps all. */
function forgetEnded(errands: Map<string, Errand>) {
  for (const [id, errand] of errands) {
    if (errands.size <= LIMITS.errands) return
    if (!isOpenErrand(errand)) errands.delete(id)
  }
}
