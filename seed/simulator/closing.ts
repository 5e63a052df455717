import { type Instant, MINUTE, SECOND } from '../../server/domain/time.ts'
import type { Crowd } from './crowd.ts'
import { inSheets } from './said.ts'
import type { Fact, Playing } from './script.ts'
import { stepTimes, whole } from './steps.ts'
import { story } from './troubles.ts'

const ITEMS = ['ballot-box', 'memory-device', 'roster', 'tapes', 'return-bag']

/**
 * The evening of one precinct: closing, the last voter, tapes, reconciliation, the return. The device travels
 * with the return and says itself when it hands the materials over (ReturnReceived); the one that is lost never
 * does.
 */
export function closingOf(
  p: Playing,
  crowd: Crowd,
  slotOpen: boolean,
): { facts: Fact[]; departedAt: Instant } {
  const { at, index, random, code, planned } = p
  const { closesAt } = index.brief
  const facts: Fact[] = []
  const say = (when: Instant, kind: Fact['kind'], body: Fact['body']) => {
    facts.push({ at: whole(when), kind, body })
  }

  const saysClosedAt =
    code === story.notClosed.precinct
      ? at(story.notClosed.closes)
      : whole(closesAt + random.between(0, 100) * SECOND)
  say(saysClosedAt, 'PollsClosed', { stillInLine: crowd.at(saysClosedAt).inLine })
  const lastVoterAt = whole(
    Math.max(crowd.lastServedAt, crowd.lastCastAt, saysClosedAt) + random.between(1, 3) * MINUTE,
  )
  say(lastVoterAt, 'LastVoterServed', {})

  const end = crowd.at(lastVoterAt)
  const outstanding = end.inSlot
  // Without a tabulator every ballot is counted at the office: none is in an emergency slot.
  const usedSlot = planned.tabulators.length > 0
  if (usedSlot && outstanding > 0) {
    say(lastVoterAt + 2 * MINUTE, 'SlotBallotsFed', {
      fed: 0,
      handedOver: outstanding,
      byTwo: true,
      note: 'Sealed in the emergency bag and handed over to be counted at the office',
    })
  }
  if (usedSlot && (slotOpen || outstanding > 0))
    say(lastVoterAt + 3 * MINUTE, 'EmergencySlotLocked', { inSlot: 0, byTwo: true })
  const tabulated = Object.values(end.publicCount).reduce((a, b) => a + b, 0)
  say(lastVoterAt + 4 * MINUTE, 'CountsReported', {
    checkedIn: end.checkedIn,
    ...(planned.tabulators.length > 0 ? { publicCount: inSheets(end.publicCount, p) } : {}),
    inLine: 0,
    inSlot: 0,
    spoiled: end.spoiled,
    provisional: end.provisional,
    curbside: end.curbside,
    ballotsLeft: end.ballotsLeft,
  })

  const first = planned.closing[0]
  const given = first && first.after.length === 0 ? { [first.code]: lastVoterAt } : {}
  const times = stepTimes(planned.closing, lastVoterAt + 5 * MINUTE, random, given)
  const inUse = planned.tabulators.filter(t => !p.outages.some(o => o.tabulator === t && o.to > closesAt))
  let packedAt = lastVoterAt + 20 * MINUTE
  for (const step of planned.closing) {
    const doneAt = times.get(step.code)!
    packedAt = Math.max(packedAt, doneAt)
    if (step.completedBy === 'tape')
      for (const tabulator of inUse)
        say(doneAt, 'ClosingTapeSigned', {
          tabulator,
          publicCount: inSheets(end.publicCount, p)[tabulator]!,
          byTwo: true,
        })
    else say(doneAt, 'StepCompleted', { step: step.code, ...(step.byTwo ? { byTwo: true } : {}) })
    if (step.code === 'reconcile')
      say(doneAt, 'CountsReconciled', {
        delivered: end.delivered,
        left: end.ballotsLeft,
        tabulated,
        inSlot: outstanding,
        spoiled: end.spoiled,
        provisional: end.provisional,
        challenged: 0,
        checkedIn: end.checkedIn,
      })
  }

  const departedAt =
    code === story.returnLost.precinct
      ? at(story.returnLost.departs)
      : whole(packedAt + random.between(2, 9) * MINUTE)
  const seals = [planned.seals.get('return-bag') ?? [...planned.seals.values()][0]].filter(
    s => s !== undefined,
  )
  say(departedAt, 'ReturnDeparted', { carriers: 2, items: ITEMS, seals })
  if (code !== story.returnLost.precinct) {
    const byFerry = planned.place.area.endsWith('Island')
    const receivedAt = departedAt + (byFerry ? random.between(45, 70) : random.between(12, 45)) * MINUTE
    say(receivedAt, 'ReturnReceived', { items: ITEMS, seals })
  }
  return { facts, departedAt }
}
