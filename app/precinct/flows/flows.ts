import type { Flow } from '../asking/question.ts'
import { close, closingTape, depart, lastVoter, reconcile } from './closing.ts'
import { counts, line } from './counting.ts'
import { equipment } from './machines.ts'
import { open, seal, stepDone, tape, team } from './opening.ts'
import { boxOpened, slotFed, slotLocked, slotOpened } from './slot.ts'
import { help, incident, resume, supplies, suspend } from './troubles.ts'

const plain: Record<string, Flow> = {
  team,
  open,
  counts,
  line,
  'slot-opened': slotOpened,
  'slot-locked': slotLocked,
  'slot-fed': slotFed,
  box: boxOpened,
  supplies,
  incident,
  help,
  suspend,
  resume,
  close,
  'last-voter': lastVoter,
  reconcile,
  depart,
}
const about: Record<string, (what: string) => Flow> = {
  step: stepDone,
  seal,
  tape,
  equipment,
  'closing-tape': closingTape,
}

/** The conversation of a name and what it is about (a step's code, a tag); null: there is none. */
export function flowOf(name: string, what: string | undefined): Flow | null {
  if (Object.hasOwn(plain, name)) return plain[name]!
  if (what !== undefined && Object.hasOwn(about, name)) return about[name]!(what)
  return null
}

/** Kind → its conversation, and the field of the body that says what it is about. */
const CONVERSATIONS: Readonly<Record<string, readonly [flow: string, about?: string]>> = {
  TeamReported: ['team'],
  StepCompleted: ['step', 'step'],
  OpeningTapeVerified: ['tape', 'tabulator'],
  OpeningTapeRejected: ['tape', 'tabulator'],
  SealRecorded: ['seal', 'container'],
  PollsOpened: ['open'],
  PollsSuspended: ['suspend'],
  PollsResumed: ['resume'],
  CountsReported: ['counts'],
  LineReported: ['line'],
  EquipmentWentDown: ['equipment', 'equipment'],
  EquipmentRestored: ['equipment', 'equipment'],
  EquipmentReplaced: ['equipment', 'equipment'],
  EmergencySlotOpened: ['slot-opened'],
  EmergencySlotLocked: ['slot-locked'],
  SlotBallotsFed: ['slot-fed'],
  BallotBoxOpened: ['box'],
  SuppliesRequested: ['supplies'],
  IncidentNoted: ['incident'],
  HelpRequested: ['help'],
  LastVoterServed: ['last-voter'],
  PollsClosed: ['close'],
  ClosingTapeSigned: ['closing-tape', 'tabulator'],
  CountsReconciled: ['reconcile'],
  ReturnDeparted: ['depart'],
}

/** Where a report is said again: the screen of its kind; null: it has none. */
export function screenOf(kind: string, body: Record<string, unknown>): string | null {
  if (!Object.hasOwn(CONVERSATIONS, kind)) return null
  const [flow, field] = CONVERSATIONS[kind]!
  return field ? `flow/${flow}/${encodeURIComponent(String(body[field] ?? ''))}` : `flow/${flow}`
}
