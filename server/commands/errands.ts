import { type ErrandMove, isOpenErrand, lastStepAt, mayMove, standingAfter } from '../domain/day/errand.ts'
import type { Errand, ErrandStanding } from '../domain/day/state.ts'
import type { NewEntry } from '../domain/log/dayLog.ts'
import { SECOND } from '../domain/time.ts'
import { type Decided, type Decider, type Deciding, deskEntry, refuse } from './decide.ts'

/** Sending a rover, and what the rover does about it. A rover moves their own errands; the desk moves any. */

/** The errand takes the command's id, so that a retry is the same errand. */
export const sendRover: Decider<'SendRover'> = (body, at) => {
  const planned = at.index.precincts.get(body.precinct)
  if (!planned) return refuse('unknown-precinct', `there is no precinct ${body.precinct} in this day's plan`)
  if (!at.index.plan.rovers.some(r => r.code === body.rover))
    return refuse('unknown-rover', `there is no rover ${body.rover} in this day's plan`)
  const there = openErrandAt(planned.place.code, at)
  if (there) {
    const by = roverName(there.rover, at)
    return refuse('already-taken', `${by} is on an errand to ${planned.place.name} already`, { by })
  }
  const detail = body.what === undefined ? undefined : { what: body.what }
  return {
    entries: [deskEntry('RoverAssigned', body.precinct, { errand: at.id, rover: body.rover }, at, detail)],
  }
}

/** One visit serves every precinct of a place. */
function openErrandAt(place: string, at: Deciding): Errand | undefined {
  for (const errand of at.state.errands.values())
    if (isOpenErrand(errand) && at.index.precincts.get(errand.precinct)?.place.code === place) return errand
  return undefined
}

function roverName(rover: string, at: Deciding): string {
  return at.index.plan.rovers.find(r => r.code === rover)?.name ?? rover
}

const words: Record<ErrandStanding, string> = {
  assigned: 'not accepted yet',
  accepted: 'accepted and has not set out',
  'on-the-way': 'on the way already',
  'on-site': 'on site already',
  done: 'finished already',
  'given-back': 'given back already',
}

function move(
  kind: ErrandMove,
  body: { errand: string; agoSeconds?: number | undefined },
  at: Deciding,
  detail?: Record<string, string>,
): Decided {
  const errand = at.state.errands.get(body.errand)
  if (!errand) return refuse('unknown-errand', 'there is no such errand on this day')
  if (at.person.role === 'rover' && at.person.post !== errand.rover)
    return refuse('not-yours', 'this errand is another rover’s')
  // Said again, it is so already: a double tap is no second arrival.
  if (errand.is === standingAfter[kind]) return { entries: [] }
  if (!mayMove(errand, kind)) return refuse('other-state', `this errand is ${words[errand.is]}`)
  const entry = deskEntry(kind, errand.precinct, { errand: errand.id, rover: errand.rover }, at, detail)
  return { entries: [{ ...entry, occurredAt: happenedAt(errand, body.agoSeconds ?? 0, at) } as NewEntry] }
}

/** A tap that waited for the link counts when it was made, though never before the step that came before it. */
function happenedAt(errand: Errand, agoSeconds: number, at: Deciding): number {
  return Math.min(at.now, Math.max(lastStepAt(errand), Math.round(at.now - at.elapsed(agoSeconds * SECOND))))
}

export const acceptErrand: Decider<'AcceptErrand'> = (body, at) => move('RoverAccepted', body, at)
export const setOut: Decider<'SetOut'> = (body, at) => move('RoverOnTheWay', body, at)
export const arriveOnSite: Decider<'ArriveOnSite'> = (body, at) => move('RoverArrived', body, at)
export const finishErrand: Decider<'FinishErrand'> = (body, at) =>
  move('RoverFinished', body, at, body.note === undefined ? undefined : { note: body.note })
export const giveBackErrand: Decider<'GiveBackErrand'> = (body, at) =>
  move('RoverGaveBack', body, at, body.why === undefined ? undefined : { why: body.why })
