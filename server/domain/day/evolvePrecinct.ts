import type { Entry } from '../log/entry.ts'
import type { PlanIndex, PlannedIn } from '../plan/brief.ts'
import { insertSorted } from './bounded.ts'
import { closingTape, departed, departure, received, reconciled } from './evolveClosing.ts'
import { checkedInAt, counted, countsReported, inLineAt, lineReported } from './evolveCounts.ts'
import { replaced, wentDown } from './evolveEquipment.ts'
import { heartbeat } from './evolveHeartbeat.ts'
import { boxOpened, seal, stepSaid, tapeRejected, tapeVerified, team } from './evolveOpening.ts'
import { polls } from './evolvePolls.ts'
import { slot, slotFed } from './evolveSlot.ts'
import { askedFor, helpWanted, suppliesWanted } from './helpWanted.ts'
import { noticeRead } from './notices.ts'
import { newer, registered } from './stamp.ts'
import { LIMITS, type Mark, type PrecinctState } from './state.ts'
import { deriveSteps } from './steps.ts'

/** What a precinct said, into its fresh copy `p`; which register each kind writes is read off here. */
export function evolvePrecinct(p: PrecinctState, entry: Entry, planned: PlannedIn, index: PlanIndex) {
  switch (entry.kind) {
    case 'CountsReported':
      return countsReported(p, entry, planned, index)
    case 'HeartbeatReceived':
      return heartbeat(p, entry, planned, index)
    case 'LineReported':
      return lineReported(p, entry, index)
    case 'TeamReported':
      return team(p, entry, planned)
    case 'StepCompleted':
      return stepSaid(p, entry.body.step, entry.occurredAt, planned)
    case 'OpeningTapeVerified':
      return tapeVerified(p, entry.body.tabulator, registered(entry, 'verified'), planned)
    case 'OpeningTapeRejected':
      return tapeRejected(p, entry.body.tabulator, registered(entry, entry.body.problems), planned)
    case 'SealRecorded':
      return seal(p, entry, planned)
    case 'PollsOpened':
      if (entry.body.withSlot) {
        p.withSlot = true
        slot(p, registered(entry, 'open'))
      }
      polls(p, registered(entry, 'open'), 'opened')
      // What was done with seals counts for the opening steps until then.
      return deriveSteps(p, planned)
    case 'PollsSuspended':
      return polls(p, registered(entry, 'suspended'), 'suspended')
    case 'PollsResumed':
      return polls(p, registered(entry, 'open'), 'resumed')
    case 'PollsClosed':
      if (entry.body.stillInLine !== undefined) inLineAt(p, registered(entry, entry.body.stillInLine), index)
      return polls(p, registered(entry, 'closed'), 'closed')
    case 'LastVoterServed':
      return inLineAt(p, registered(entry, 0), index)
    case 'PlaceMoved':
      p.moved = newer(p.moved, registered(entry, { cause: entry.body.cause, position: entry.position }))
      return mark(p, { what: 'incident', at: entry.occurredAt, position: entry.position })
    case 'EquipmentWentDown':
      return wentDown(p, entry.body.equipment, registered(entry, { down: true }), planned)
    case 'EquipmentRestored':
      return wentDown(p, entry.body.equipment, registered(entry, { down: false }), planned)
    case 'EquipmentReplaced':
      return replaced(p, entry, planned)
    case 'EmergencySlotOpened':
      return slot(p, registered(entry, 'open'))
    case 'EmergencySlotLocked':
      if (entry.body.inSlot !== undefined) counted(p, 'inSlot', registered(entry, entry.body.inSlot))
      return slot(p, registered(entry, 'locked'))
    case 'SlotBallotsFed':
      return slotFed(p, entry)
    case 'IncidentNoted':
      p.incidents += 1
      return mark(p, { what: 'incident', at: entry.occurredAt, position: entry.position })
    case 'SuppliesRequested':
      return askedFor(p, entry, suppliesWanted(entry.body))
    case 'HelpRequested':
      return askedFor(p, entry, helpWanted(entry.body))
    case 'ClosingTapeSigned':
      return closingTape(p, entry, planned)
    case 'CountsReconciled':
      checkedInAt(p, registered(entry, entry.body.checkedIn), index)
      return reconciled(p, entry)
    case 'ReturnDeparted':
      return departed(p, departure(entry))
    case 'ReturnReceived':
      return received(p, entry)
    case 'BallotBoxOpened':
      return boxOpened(p, entry, planned)
    case 'NoticeAcknowledged':
      return noticeRead(p, entry.body.notice, entry.occurredAt)
  }
}

export function mark(p: PrecinctState, made: Mark) {
  p.marks = insertSorted(p.marks, made, (a, b) => a.at - b.at || a.position - b.position, LIMITS.marks)
}
