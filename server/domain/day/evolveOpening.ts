import type { Entry } from '../log/entry.ts'
import type { PlannedIn } from '../plan/brief.ts'
import type { Step } from '../plan/plan.ts'
import type { Instant } from '../time.ts'
import { insertStamped, own, put } from './bounded.ts'
import { earliest, later, newer, registered } from './stamp.ts'
import {
  LIMITS,
  type PrecinctState,
  type Register,
  type SealWork,
  type Stamp,
  type Tape,
  type TapeState,
} from './state.ts'
import { deriveSteps } from './steps.ts'

/** Team, steps, tapes and seals: what is done before the polls open. */

export function team(p: PrecinctState, entry: Entry<'TeamReported'>, planned: PlannedIn) {
  const { present, missing } = entry.body
  p.team = newer(p.team, registered(entry, { present, missing }))
  for (const step of planned.opening) if (step.completedBy === 'team') said(p, step, entry.occurredAt)
  deriveSteps(p, planned)
}

/** A step that isn't in the plan is left aside: nothing waits for it. */
export function stepSaid(p: PrecinctState, code: string, at: Instant, planned: PlannedIn) {
  const step = planned.opening.find(s => s.code === code) ?? planned.closing.find(s => s.code === code)
  if (!step) return
  said(p, step, at)
  deriveSteps(p, planned)
}

function said(p: PrecinctState, step: Step, at: Instant) {
  const first = earliest(own(p.stepsSaid, step.code), at)
  if (first !== p.stepsSaid[step.code]) p.stepsSaid = { ...p.stepsSaid, [step.code]: first }
}

export function tapeVerified(p: PrecinctState, tag: string, write: Register<TapeState>, planned: PlannedIn) {
  const before = own(p.tapes, tag)
  const made = tapeOf(before, write, before?.rejection ?? null)
  putTape(p, tag, { ...made, verifiedAt: earliest(before?.verifiedAt, write.asOf) }, planned)
}

/** With no problems named (a heartbeat), those of the latest rejection in words stand. */
export function tapeRejected(
  p: PrecinctState,
  tag: string,
  write: Register<readonly string[]>,
  planned: PlannedIn,
) {
  const before = own(p.tapes, tag)
  const words = before?.rejection ?? null
  const rejection = write.is.length > 0 ? newer(words, write) : words
  putTape(p, tag, tapeOf(before, { ...write, is: 'rejected' }, rejection), planned)
}

function tapeOf(
  before: Tape | undefined,
  write: Register<TapeState>,
  rejection: Register<readonly string[]> | null,
): Tape {
  const wins = later(write, before)
  const stamp = wins || !before ? write : before
  const is = wins || !before ? write.is : before.is.is
  return {
    is: { is, problems: is === 'rejected' ? (rejection?.is ?? []) : [] },
    asOf: stamp.asOf,
    source: stamp.source,
    number: stamp.number,
    verifiedAt: before?.verifiedAt ?? null,
    rejection,
  }
}

function putTape(p: PrecinctState, tag: string, tape: Tape, planned: PlannedIn) {
  p.tapes = put(p.tapes, tag, tape, t => planned.equipment.has(t))
  deriveSteps(p, planned)
}

/** What was put on is work alone: a finding is of a seal that was looked at, or read as it was taken off. */
export function seal(p: PrecinctState, entry: Entry<'SealRecorded'>, planned: PlannedIn) {
  const { container, found, state, act = 'found' } = entry.body
  sealWorked(p, entry, { container, act, seal: found, state })
  if (act !== 'applied') {
    const before = own(p.seals, container)
    const finding = newer(before ?? null, registered(entry, { found, state }))
    const firstAt = earliest(before?.firstAt, entry.occurredAt)
    p.seals = put(p.seals, container, { ...finding, firstAt }, c => planned.seals.has(c))
  }
  deriveSteps(p, planned)
}

/** The container that BallotBoxOpened speaks of; plans that seal it name it so. */
const BALLOT_BOX = 'ballot-box'

export function boxOpened(p: PrecinctState, entry: Entry<'BallotBoxOpened'>, planned: PlannedIn) {
  sealWorked(p, entry, { container: BALLOT_BOX, act: 'opened', seal: null, state: 'intact' })
  deriveSteps(p, planned)
}

function sealWorked(p: PrecinctState, entry: Entry, work: Omit<SealWork, keyof Stamp>) {
  const stamp: Stamp = { asOf: entry.occurredAt, source: entry.source, number: entry.number }
  p.sealWork = insertStamped(p.sealWork, { ...work, ...stamp }, LIMITS.sealWork)
}
