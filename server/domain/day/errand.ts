import type { ErrandKind } from '../log/kindsOfErrand.ts'
import type { Instant } from '../time.ts'
import { type Errand, type ErrandStanding, LIMITS } from './state.ts'

/**
 * What an errand may do, for the fold, the deciders and the pages alike.
 *
 * | step | from | to |
 * |---|---|---|
 * | RoverAccepted | assigned | accepted |
 * | RoverOnTheWay | assigned, accepted | on-the-way |
 * | RoverArrived | assigned, accepted, on-the-way | on-site |
 * | RoverFinished | on-site | done |
 * | RoverGaveBack | assigned, accepted, on-the-way, on-site | given-back |
 *
 * A step may be left out, none is taken back, and an end is an end.
 */
export type ErrandMove = Exclude<ErrandKind, 'RoverAssigned'>

export const standingAfter = {
  RoverAccepted: 'accepted',
  RoverOnTheWay: 'on-the-way',
  RoverArrived: 'on-site',
  RoverFinished: 'done',
  RoverGaveBack: 'given-back',
} as const satisfies Record<ErrandMove, ErrandStanding>

const from: Record<ErrandMove, readonly ErrandStanding[]> = {
  RoverAccepted: ['assigned'],
  RoverOnTheWay: ['assigned', 'accepted'],
  RoverArrived: ['assigned', 'accepted', 'on-the-way'],
  RoverFinished: ['on-site'],
  RoverGaveBack: ['assigned', 'accepted', 'on-the-way', 'on-site'],
}

/** Whether this step is the errand's to take now. */
export function mayMove(errand: Pick<Errand, 'is'>, kind: ErrandMove): boolean {
  return from[kind].includes(errand.is)
}

/** Whether a rover is still on it. */
export function isOpenErrand(errand: Pick<Errand, 'is'>): boolean {
  return errand.is !== 'done' && errand.is !== 'given-back'
}

/** The latest instant that is known of an errand: since when it stands as it does, and no later step was before it. */
export function lastStepAt(errand: Errand): Instant {
  return Math.max(
    errand.assignedAt,
    errand.acceptedAt ?? 0,
    errand.onTheWayAt ?? 0,
    errand.onSiteAt ?? 0,
    errand.endedAt ?? 0,
  )
}

/** Of more than LIMITS.errands the ended ones that were assigned first go first; the log keeps all. */
export function forgetEnded(errands: Map<string, Errand>) {
  for (const [id, errand] of errands) {
    if (errands.size <= LIMITS.errands) return
    if (!isOpenErrand(errand)) errands.delete(id)
  }
}

/** A board's errands after a patch: the changed ones take the place of the old, new ones come last, bounded alike. */
export function joinErrands(errands: readonly Errand[], changed: readonly Errand[]): readonly Errand[] {
  const joined = new Map(errands.map(e => [e.id, e]))
  for (const errand of changed) joined.set(errand.id, errand)
  forgetEnded(joined)
  return [...joined.values()]
}
