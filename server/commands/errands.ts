import { isOpenErrand } from '../domain/day/evolveErrand.ts'
import type { Errand, ErrandStanding } from '../domain/day/state.ts'
import type { ErrandKind } from '../domain/log/kindsOfErrand.ts'
import { type Decided, type Decider, type Deciding, deskEntry, refuse } from './decide.ts'

/** Sending a rover, and what the rover does about it. A rover moves their own errands; the desk moves any. */

/** The errand takes the command's id, so that a retry is the same errand. */
export const sendRover: Decider<'SendRover'> = (body, at) => {
  const planned = at.index.precincts.get(body.precinct)
  if (!planned) return refuse('unknown-precinct', `there is no precinct ${body.precinct} in this day's plan`)
  const rover = at.index.plan.rovers.find(r => r.code === body.rover)
  if (!rover) return refuse('unknown-rover', `there is no rover ${body.rover} in this day's plan`)
  const there = openErrandAt(planned.place.code, at)
  if (there) {
    const name = at.index.plan.rovers.find(r => r.code === there.rover)?.name ?? there.rover
    return refuse('already-taken', `${name} is on an errand to ${planned.place.name} already`, { by: name })
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

type Move = Exclude<ErrandKind, 'RoverAssigned'>

/** From where each step may be taken: a step may be left out, none taken back. */
const from: Record<Move, readonly ErrandStanding[]> = {
  RoverAccepted: ['assigned'],
  RoverOnTheWay: ['assigned', 'accepted'],
  RoverArrived: ['assigned', 'accepted', 'on-the-way'],
  RoverFinished: ['on-site'],
  RoverGaveBack: ['assigned', 'accepted', 'on-the-way', 'on-site'],
}
const after: Record<Move, ErrandStanding> = {
  RoverAccepted: 'accepted',
  RoverOnTheWay: 'on-the-way',
  RoverArrived: 'on-site',
  RoverFinished: 'done',
  RoverGaveBack: 'given-back',
}
const words: Record<ErrandStanding, string> = {
  assigned: 'assigned and not yet accepted',
  accepted: 'accepted',
  'on-the-way': 'on the way',
  'on-site': 'on site',
  done: 'finished',
  'given-back': 'given back',
}

function move(kind: Move, id: string, at: Deciding, detail?: Record<string, string>): Decided {
  const errand = at.state.errands.get(id)
  if (!errand) return refuse('unknown-errand', 'there is no such errand on this day')
  if (at.person.role === 'rover' && at.person.post !== errand.rover)
    return refuse('not-yours', 'this errand is another rover’s')
  // Said again, it is so already: a double tap is no second arrival.
  if (errand.is === after[kind]) return { entries: [] }
  if (!from[kind].includes(errand.is)) return refuse('other-state', `this errand is ${words[errand.is]}`)
  return {
    entries: [deskEntry(kind, errand.precinct, { errand: id, rover: errand.rover }, at, detail)],
  }
}

export const acceptErrand: Decider<'AcceptErrand'> = (body, at) => move('RoverAccepted', body.errand, at)
export const setOut: Decider<'SetOut'> = (body, at) => move('RoverOnTheWay', body.errand, at)
export const arriveOnSite: Decider<'ArriveOnSite'> = (body, at) => move('RoverArrived', body.errand, at)
export const finishErrand: Decider<'FinishErrand'> = (body, at) =>
  move('RoverFinished', body.errand, at, body.note === undefined ? undefined : { note: body.note })
export const giveBackErrand: Decider<'GiveBackErrand'> = (body, at) =>
  move('RoverGaveBack', body.errand, at, body.why === undefined ? undefined : { why: body.why })
