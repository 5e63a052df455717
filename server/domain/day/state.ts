import type { Via } from '../log/entry.ts'
import type { CountName } from '../log/fields.ts'
import type { RuleName, Tier } from '../plan/policy.ts'
import type { Rhythm } from '../silence/accrual.ts'
import type { Instant } from '../time.ts'

/**
 * The state of one day: what the fold makes of the log.
 *
 * Kept true here:
 * - `DayState` is one container owned by one fold and changed in place; every record inside it (a
 *   `PrecinctState` and all it holds) is never changed once made: a new one takes its place. So "what changed
 *   since" is a comparison of references, and a board may keep what it was given.
 * - A value is a register: the later of two writes wins by (asOf, source, number), so any order of arrival
 *   ends in the same state.
 * - Every list is bounded (see LIMITS): cost per report doesn't grow with the day.
 */

/** Order of two writes to one register. */
export type Stamp = { asOf: Instant; source: string; number: number | null }
export type Register<T> = Stamp & { is: T }

export type Standing =
  | 'not-heard'
  | 'setting-up'
  | 'ready'
  | 'open'
  | 'closing'
  | 'closed'
  | 'returning'
  | 'received'

export type Polls = 'not-open' | 'open' | 'suspended' | 'closed'

/** What somebody said that the day strip and outages are made of, kept in order of (asOf, source, number). */
export type Change = Stamp & {
  what:
    | 'down'
    | 'back'
    /** A heartbeat's full list: what isn't on it works. */
    | 'listed'
    | 'slot-opened'
    | 'slot-locked'
    | 'not-open'
    | 'opened'
    | 'suspended'
    | 'resumed'
    | 'closed'
  /** Of `down` and `back`. */
  equipment?: string
  /** Of `listed`. */
  down?: readonly string[]
}

/** An interval of silence, made by system entries. */
type Silence = { from: Instant; to: Instant | null }

export type SlotFeed = Stamp & { taken: number }

/** Ballots that left the slot and go into no tabulator: counted by hand, or handed over with a note. */
type SetAside = Stamp & { howMany: number }

export type TapeState = 'verified' | 'rejected'

export type Tape = Register<{ is: TapeState; problems: readonly string[] }> & {
  /** Earliest verification, whatever was said after. */
  verifiedAt: Instant | null
  /** Latest rejection in words of its own: a heartbeat says only that it is rejected. */
  rejection: Register<readonly string[]> | null
}

type SealFinding = Register<{ found: string; state: 'intact' | 'broken' | 'missing' }> & {
  /** Earliest recording. */
  firstAt: Instant
}

/** `opened`: two people opened the ballot box. */
export type SealWork = Stamp & {
  container: string
  act: 'found' | 'applied' | 'removed' | 'opened'
  /** Its number as it was written (`number` is the stamp's). */
  seal: string | null
  state: 'intact' | 'broken' | 'missing'
}

export type DeviceState = {
  id: string
  heardAt: Instant
  battery: number | null
  charging: boolean | null
  waiting: number
  skewSeconds: number
  revoked: boolean
  /** Position of the entry that battery, waiting and skew were last taken from. */
  toldAt: number
}

export type Reason = {
  key: string
  rule: RuleName
  tier: Tier
  precinct: string | null
  since: Instant
  raisedAt: Instant
  /** When its figures were last written: at its raising, or when it was raised again. */
  figuresAt: Instant
  voterMinutes: number
  evidence: Readonly<Record<string, number | string | boolean | readonly string[]>>
}

/** Where a precinct's line on the call list stands with the people at the desk. */
export type CallState = {
  takenBy: string | null
  takenAt: Instant | null
  /** Steps back until then: deferred, being watched, or told it was solved. */
  backUntil: Instant | null
  lastOutcome: 'solved' | 'watching' | 'no-answer' | 'needs-rover' | 'needs-supervisor' | 'deferred' | null
  lastAt: Instant | null
}

/** Where an errand stands. `done` and `given-back` are its ends. */
export type ErrandStanding = 'assigned' | 'accepted' | 'on-the-way' | 'on-site' | 'done' | 'given-back'

/** A rover's errand; each instant once, null until it comes. */
export type Errand = {
  id: string
  rover: string
  precinct: string
  /** Opaque id of who sent the rover. */
  by: string
  is: ErrandStanding
  assignedAt: Instant
  acceptedAt: Instant | null
  onTheWayAt: Instant | null
  onSiteAt: Instant | null
  endedAt: Instant | null
  /** Position of the entry that assigned it (its words are asked for by it), and of the last that moved it. */
  position: number
  touchedAt: number
}

/** What help is wanted for; `step` and `trouble` where a guide of the precinct's page led to it. */
export type HelpWanted = { about: string; step?: string; trouble?: string; item?: string; howMany?: number }

export type Mark = { what: 'call' | 'visit' | 'incident'; at: Instant; position: number }

export type PrecinctState = {
  code: string
  /** Latest instant at which the office heard this precinct, by any way; null: never. */
  heardAt: Instant | null
  /** Set by PrecinctFellSilent, cleared by PrecinctHeardAgain. */
  silentSince: Instant | null
  /** Gaps before unchanged heartbeats, as the minute's lists have them; begins anew with another device. */
  rhythm: Rhythm
  /** The one heard last that isn't revoked, and all that are known. */
  device: DeviceState | null
  devices: readonly DeviceState[]
  /** By device: how many of its reports are kept aside without the desk's answer, and since when there are any. */
  keptAside: Readonly<Record<string, { howMany: number; since: Instant }>>
  team: Register<{ present: number; missing: ReadonlyArray<{ role: string; howMany: number }> }> | null
  /** Opening and closing steps done, by code, at their earliest known instant: those said and those that follow. */
  steps: Readonly<Record<string, Instant>>
  stepsSaid: Readonly<Record<string, Instant>>
  /** By tabulator tag. */
  tapes: Readonly<Record<string, Tape>>
  /** By container; only what was recorded. */
  seals: Readonly<Record<string, SealFinding>>
  /** What was done with seals and their containers, in order of (asOf, source, number). */
  sealWork: readonly SealWork[]
  polls: Register<Polls> | null
  /** Earliest PollsOpened, and PollsClosed that stands. */
  openedAt: Instant | null
  closedAt: Instant | null
  withSlot: boolean
  /** The latest that it must leave its building; where it goes is told on demand. */
  moved: Register<{ cause: string; position: number }> | null
  counts: Readonly<Partial<Record<CountName, Register<number>>>>
  /** Public count in sheets by tabulator tag; a replaced tabulator keeps its last. */
  publicCounts: Readonly<Record<string, Register<number>>>
  stationsWorking: Register<number> | null
  /** The latest said of it in each quarter hour, by the index of `curve`. */
  stationsSaid: Readonly<Record<number, Register<number>>>
  /** Latest checked-in count of each quarter hour since the day's midnight, by index (0–119). */
  curve: Readonly<Record<number, Register<number>>>
  /** Latest line reported in each quarter hour, by the same index. */
  lines: Readonly<Record<number, Register<number>>>
  /** Whether a piece of equipment is down, by tag: the later of what was said of it and of the latest full list. */
  down: Readonly<Record<string, Register<{ down: boolean }>>>
  downSaid: Readonly<Record<string, Register<{ down: boolean }>>>
  downList: Register<readonly string[]> | null
  /** Tag of what stands in its place, by tag of the equipment that was replaced; and when that was said. */
  replaced: Readonly<Record<string, string>>
  replacements: Readonly<Record<string, Register<string>>>
  slot: Register<'open' | 'locked'> | null
  /** Ballots taken out since the latest count of the slot. */
  feeds: readonly SlotFeed[]
  /** Of the whole day: a newer count of the slot doesn't bring them back. */
  setAside: readonly SetAside[]
  changes: readonly Change[]
  silences: readonly Silence[]
  marks: readonly Mark[]
  /** What help was asked for and no logged call has answered, in order of (asOf, source, number). */
  help: ReadonlyArray<Register<HelpWanted>>
  /** The latest request of each matter (helpWanted.ts), in the same order. */
  helpSaid: ReadonlyArray<Register<HelpWanted>>
  helpAnsweredAt: Instant | null
  /** Position of the last call that was logged as solved; 0: none. */
  solvedAt: number
  incidents: number
  /** Differences of the counts at closing (reconcile/close.ts), and whether an explanation was written with them. */
  reconciled: Register<{ ballots: number; voters: number; explained: boolean }> | null
  closingTapes: Readonly<Record<string, Register<number>>>
  /** `carriers` null: not said (a heartbeat says only that it left). */
  departed: Register<{
    items: readonly string[]
    seals: readonly string[]
    carriers: number | null
  }> | null
  received: Register<{
    items: readonly string[]
    seals: readonly string[]
    carriers: number | null
    station: string | null
    /** How it came to be known: `desk` is a check-in; and the opaque id of who wrote it in. */
    via: Via
    by: string | null
    position: number
  }> | null
  /** Standing reasons by key. */
  reasons: Readonly<Record<string, Reason>>
  call: CallState
  /** When a notice was first said to be read here, by its number. */
  noticesRead: Readonly<Record<number, Instant>>
  /** Position of the last entry that touched this precinct. */
  touchedAt: number
}

/** A notice of the desk; its words are asked for by its position. `to` null: every precinct. */
export type Notice = {
  position: number
  at: Instant
  by: string
  to: readonly string[] | null
  acknowledge: boolean
}

export type DayState = {
  day: string
  /** Position of the last entry folded in; 0: none. */
  cursor: number
  recordedAt: Instant
  planHash: string | null
  kind: 'election' | 'practice'
  closed: boolean
  precincts: Map<string, PrecinctState>
  /** By id: all that are open, and of the ended ones the latest (LIMITS.errands). */
  errands: ReadonlyMap<string, Errand>
  /** Notices of the desk, oldest first (LIMITS.notices). */
  notices: readonly Notice[]
  /** Reasons of the whole county (our own link). */
  reasons: Readonly<Record<string, Reason>>
  /** Silence deadlines restart here after an outage of our own; 0: never. */
  graceUntil: Instant
  /** What the latest forecasts were made from; null: none was made yet. */
  forecastBase: ForecastBase | null
}

/** The precincts as they were at an entry: records never change, so a copy of one map keeps them all. */
export type ForecastBase = {
  at: Instant
  position: number
  precincts: ReadonlyMap<string, PrecinctState>
}

export const LIMITS = {
  /** Changes, silences, feeds and marks kept for each precinct, the latest of them; the log keeps all. */
  changes: 120,
  silences: 40,
  feeds: 60,
  marks: 60,
  /** Matters that help was asked for, the latest of them. */
  help: 16,
  /** Devices kept for each precinct, those heard last. */
  devices: 8,
  /** Seal work kept of a precinct, and notices of a day, the latest of them. */
  sealWork: 80,
  notices: 300,
  /** Errands kept of a day. */
  errands: 2_000,
  /** Tags and containers that the plan doesn't know (a replacement, a typing error), in each table of a precinct. */
  unplanned: 12,
} as const
