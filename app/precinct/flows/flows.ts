import type { Flow } from '../asking/question.ts'
import { close, closingTape, lastVoter } from './closing.ts'
import { counts, line, oneCount } from './counting.ts'
import { depart } from './departing.ts'
import { locked, trouble, troubleIn } from './guiding.ts'
import { equipment } from './machines.ts'
import { open, team } from './opening.ts'
import { seal } from './seal.ts'
import { sealOff, sealOn } from './sealing.ts'
import { boxOpened, slotFed, slotLocked, slotOpened } from './slot.ts'
import { stepDone } from './stepDone.ts'
import { tape } from './tape.ts'
import { help, incident, move, resume, supplies, suspend } from './troubles.ts'

const plain: Record<string, Flow> = {
  team,
  locked,
  open,
  counts,
  'count-curbside': oneCount('curbside'),
  'count-provisional': oneCount('provisional'),
  'count-spoiled': oneCount('spoiled'),
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
  move,
  close,
  'last-voter': lastVoter,
  depart,
}
const about: Record<string, (what: string) => Flow> = {
  step: stepDone,
  trouble,
  'trouble-in': troubleIn,
  seal,
  tape,
  equipment,
  'closing-tape': closingTape,
  'seal-off': sealOff,
  'seal-on': sealOn,
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
  PlaceMoved: ['move'],
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
  ReturnDeparted: ['depart'],
}

/** Where a report is said again: the screen of its kind; null: it has none. */
export function screenOf(kind: string, body: Record<string, unknown>): string | null {
  if (kind === 'CountsReconciled') return 'reconcile'
  if (!Object.hasOwn(CONVERSATIONS, kind)) return null
  const [usual, field] = CONVERSATIONS[kind]!
  if (kind === 'HelpRequested' && typeof body.step === 'string')
    return `flow/trouble/${encodeURIComponent(body.step)}`
  const flow = kind === 'SealRecorded' ? sealFlow(body.act) : usual
  return field ? `flow/${flow}/${encodeURIComponent(String(body[field] ?? ''))}` : `flow/${flow}`
}

function sealFlow(act: unknown): string {
  return act === 'removed' ? 'seal-off' : act === 'applied' ? 'seal-on' : 'seal'
}
