import type { CountName } from '../../server/domain/log/fields.ts'
import type { Body, PrecinctKind } from '../../server/domain/log/kinds.ts'
import { fromRfc3339 } from '../../server/domain/time.ts'
import { type KeptReport, stands } from './outboxStore.ts'

/** A value as this device said it last, with its own time (RFC 3339, device clock). */
export type SaidValue<T> = { is: T; at: string }

/** `at`: RFC 3339, device clock. */
export type SaidSealWork = {
  at: string
  container: string
  act: 'found' | 'applied' | 'removed' | 'opened'
  number: string | null
  state: 'intact' | 'broken' | 'missing'
}

/** The last of everything that a list of this device's own reports says. */
export type Said = {
  team: SaidValue<Body<'TeamReported'>> | null
  steps: Record<string, string>
  /** Steps that two people confirmed. */
  byTwo: string[]
  tapes: Record<string, SaidValue<{ is: 'verified' | 'rejected'; problems: readonly string[] }>>
  seals: Record<string, SaidValue<{ found: string; state: 'intact' | 'broken' | 'missing' }>>
  /** Every seal that was looked at, taken off or put on, and every opening of the ballot box, in order of time. */
  sealWork: SaidSealWork[]
  polls: SaidValue<'open' | 'suspended' | 'closed'> | null
  slot: SaidValue<'open' | 'locked'> | null
  equipment: Record<string, SaidValue<'down' | 'back'>>
  /** Tag of a machine → tag of the one that stands in its place. */
  replaced: Record<string, string>
  counts: Partial<Record<CountName, SaidValue<number>>>
  publicCount: Record<string, SaidValue<number>>
  stations: SaidValue<number> | null
  /** Ballots taken out of the slot (fed, hand counted, handed over), each with its time. */
  taken: Array<SaidValue<number>>
  closingTapes: Record<string, string>
  lastVoter: string | null
  reconciled: string | null
  placeMoved: string | null
  departed: SaidValue<Body<'ReturnDeparted'>> | null
  /** When the slot, or what lies in it, was spoken of last. */
  slotAt: string | null
  /** Positions of the notices that were read. */
  noticesRead: number[]
  countedAt: string | null
  lineAt: string | null
}

/** What this device said and stands by: waiting, to be sent again, or dealt with and not refused. */
export function saidAtAll(reports: readonly KeptReport[]): KeptReport[] {
  return reports.filter(stands)
}

/**
 * What was said and isn't in `plan.has` yet: it waits, or the office dealt with it after it sent the plan.
 *
 * @param planAt Wall time in ms at which the plan reached this device.
 */
export function saidSince(reports: readonly KeptReport[], planAt: number): KeptReport[] {
  return reports.filter(r => stands(r) && (r.state !== 'had' || (r.dealtAt ?? 0) > planAt))
}

/** Tags of equipment that is down: the office's list, changed by what was said since. */
export function downNow(officeHas: readonly string[], since: Said): string[] {
  const down = new Set(officeHas)
  for (const [tag, { is }] of Object.entries(since.equipment)) {
    if (is === 'down') down.add(tag)
    else down.delete(tag)
  }
  return [...down].sort()
}

/** A pure fold; the order of the list doesn't matter, since the later time wins. */
export function foldSaid(reports: readonly KeptReport[]): Said {
  const said: Said = {
    team: null,
    steps: {},
    byTwo: [],
    tapes: {},
    seals: {},
    sealWork: [],
    polls: null,
    slot: null,
    equipment: {},
    replaced: {},
    counts: {},
    publicCount: {},
    stations: null,
    taken: [],
    closingTapes: {},
    lastVoter: null,
    reconciled: null,
    placeMoved: null,
    departed: null,
    slotAt: null,
    noticesRead: [],
    countedAt: null,
    lineAt: null,
  }
  const ordered = [...reports].sort((a, b) => fromRfc3339(a.at) - fromRfc3339(b.at) || a.number - b.number)
  for (const report of ordered) {
    const fold = folds[report.kind as PrecinctKind] as Fold | undefined
    fold?.(said, report.body, report.at)
  }
  return said
}

type Fold = (said: Said, body: Record<string, unknown>, at: string) => void
type Folds = { [K in PrecinctKind]?: (said: Said, body: Body<K>, at: string) => void }

/** The container that BallotBoxOpened speaks of; as in the office's record (domain/day/evolveOpening.ts). */
export const BALLOT_BOX = 'ballot-box'

const folds: Folds = {
  TeamReported: (said, body, at) => {
    said.team = { is: body, at }
  },
  StepCompleted: (said, body, at) => {
    said.steps[body.step] ??= at
    if (body.byTwo) said.byTwo.push(body.step)
  },
  OpeningTapeVerified: (said, body, at) => {
    said.tapes[body.tabulator] = { is: { is: 'verified', problems: [] }, at }
  },
  OpeningTapeRejected: (said, body, at) => {
    said.tapes[body.tabulator] = { is: { is: 'rejected', problems: body.problems }, at }
  },
  SealRecorded: (said, body, at) => {
    const { container, found, state, act } = body
    said.seals[container] = { is: { found, state }, at }
    said.sealWork.push({ at, container, act: act ?? 'found', number: found, state })
  },
  BallotBoxOpened: (said, _, at) => {
    said.sealWork.push({ at, container: BALLOT_BOX, act: 'opened', number: null, state: 'intact' })
  },
  PollsOpened: (said, body, at) => {
    said.polls = { is: 'open', at }
    if (body.withSlot) slotIs(said, 'open', at)
  },
  PollsSuspended: (said, _, at) => {
    said.polls = { is: 'suspended', at }
  },
  PollsResumed: (said, _, at) => {
    said.polls = { is: 'open', at }
  },
  PollsClosed: (said, body, at) => {
    said.polls = { is: 'closed', at }
    if (body.stillInLine !== undefined) said.counts.inLine = { is: body.stillInLine, at }
  },
  LastVoterServed: (said, _, at) => {
    said.lastVoter = at
    said.counts.inLine = { is: 0, at }
  },
  CountsReported: (said, { publicCount, asOf, ...counts }, at) => {
    const when = asOf ?? at
    for (const [name, is] of Object.entries(counts)) said.counts[name as CountName] = { is, at: when }
    if (counts.inSlot !== undefined) said.slotAt = at
    for (const [tag, is] of Object.entries(publicCount ?? {})) said.publicCount[tag] = { is, at: when }
    if (counts.checkedIn !== undefined) said.countedAt = when
  },
  LineReported: (said, body, at) => {
    said.counts.inLine = { is: body.inLine, at: body.asOf ?? at }
    if (body.stationsWorking !== undefined) said.stations = { is: body.stationsWorking, at }
    said.lineAt = at
  },
  EquipmentWentDown: (said, body, at) => {
    said.equipment[body.equipment] = { is: 'down', at }
  },
  EquipmentRestored: (said, body, at) => {
    said.equipment[body.equipment] = { is: 'back', at }
  },
  EquipmentReplaced: (said, body, at) => {
    said.equipment[body.equipment] = { is: 'back', at }
    said.replaced[body.equipment] = body.by
  },
  EmergencySlotOpened: (said, _, at) => {
    slotIs(said, 'open', at)
  },
  EmergencySlotLocked: (said, body, at) => {
    slotIs(said, 'locked', at)
    if (body.inSlot !== undefined) said.counts.inSlot = { is: body.inSlot, at }
  },
  SlotBallotsFed: (said, body, at) => {
    said.taken.push({ is: body.fed + body.handCounted + body.handedOver, at })
    said.slotAt = at
  },
  ClosingTapeSigned: (said, body, at) => {
    said.closingTapes[body.tabulator] = at
    said.publicCount[body.tabulator] = { is: body.publicCount, at }
  },
  CountsReconciled: (said, _, at) => {
    said.reconciled = at
  },
  PlaceMoved: (said, _, at) => {
    said.placeMoved = at
  },
  ReturnDeparted: (said, body, at) => {
    said.departed = { is: body, at }
  },
  NoticeAcknowledged: (said, body) => {
    said.noticesRead.push(body.notice)
  },
}

function slotIs(said: Said, is: 'open' | 'locked', at: string) {
  said.slot = { is, at }
  said.slotAt = at
}
