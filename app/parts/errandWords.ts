import { type ErrandMove, lastStepAt, mayMove } from '../../server/domain/day/errand.ts'
import type { Errand, ErrandStanding } from '../../server/domain/day/state.ts'
import type { Trip } from '../../server/domain/dispatch/travel.ts'
import type { Expected } from '../../server/domain/dispatch/whereabouts.ts'
import { type Instant, MINUTE } from '../../server/domain/time.ts'
import type { CommandKind } from '../../server/protocol/command.ts'
import { clockWords, lengthWords } from '../live/clock.ts'

/** Where errands stand, in words for the desk and for the road. */

const STANDING: Record<ErrandStanding, string> = {
  assigned: 'sent, not accepted yet, since',
  accepted: 'accepted, has not set out, since',
  'on-the-way': 'on the way since',
  'on-site': 'on site since',
  done: 'finished at',
  'given-back': 'given back at',
}

/** "on the way since 09:41". */
export function errandWords(errand: Errand, timeZone: string): string {
  return `${STANDING[errand.is]} ${clockWords(lastStepAt(errand), timeZone)}`
}

/** What every estimate of a trip is called: it knows no roads, no water, no ferries. */
export const ESTIMATE = 'straight-line estimate'

const KM_PER_MILE = 1.609344

/** "8 mi, about 17 min": by road as estimated. Miles are the international mile, 1.609344 km. */
export function tripWords(trip: Trip): string {
  const miles = trip.km / KM_PER_MILE
  const far = miles < 0.1 ? 'right there' : `${miles < 10 ? miles.toFixed(1) : Math.round(miles)} mi`
  return `${far}, about ${lengthWords(Math.max(MINUTE, Math.ceil(trip.ms / MINUTE) * MINUTE))}`
}

/** "expected about 09:58 (straight-line estimate)"; before they set out, how far it is. */
export function expectedWords(expected: Expected, now: Instant, timeZone: string): string {
  const { trip, at, from } = expected
  if (at === null) return `${tripWords(trip)} from ${from.name} (${ESTIMATE})`
  const late = now - at >= MINUTE ? `, ${lengthWords(now - at)} ago` : ''
  return `expected about ${clockWords(at, timeZone)}${late} (${ESTIMATE})`
}

export type MoveCommand = Extract<
  CommandKind,
  'AcceptErrand' | 'SetOut' | 'ArriveOnSite' | 'FinishErrand' | 'GiveBackErrand'
>

/** The command of each step. */
export const MOVES: ReadonlyArray<{ kind: ErrandMove; command: MoveCommand; does: string; done: string }> = [
  { kind: 'RoverAccepted', command: 'AcceptErrand', does: 'Accept', done: 'Accepted' },
  { kind: 'RoverOnTheWay', command: 'SetOut', does: 'On my way', done: 'On the way' },
  { kind: 'RoverArrived', command: 'ArriveOnSite', does: 'Arrived', done: 'Arrived' },
  { kind: 'RoverFinished', command: 'FinishErrand', does: 'Finished', done: 'Finished' },
  { kind: 'RoverGaveBack', command: 'GiveBackErrand', does: 'Give back', done: 'Given back' },
]

/** Steps that the errand may take now, in their order. */
export function movesOf(errand: Pick<Errand, 'is'>) {
  return MOVES.filter(move => mayMove(errand, move.kind))
}
