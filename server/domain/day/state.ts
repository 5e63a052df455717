import type { CountName } from '../log/fields.ts'
import type { RuleName, Tier } from '../plan/policy.ts'
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

/** A change that the day strip and outages are made of, kept in order of (asOf, source, number). */
export type Change = Stamp & {
  what: 'down' | 'back' | 'slot-opened' | 'slot-locked' | 'suspended' | 'resumed'
  equipment?: string
}

/** An interval of silence, made by system entries. */
export type Silence = { from: Instant; to: Instant | null }

export type SlotFeed = Stamp & { taken: number }

export type TapeState = 'verified' | 'rejected'

export type SealFinding = Register<{ found: string; state: 'intact' | 'broken' | 'missing' }>

export type DeviceState = {
  id: string
  heardAt: Instant
  battery: number | null
  charging: boolean | null
  waiting: number
  skewSeconds: number
  revoked: boolean
}

export type Reason = {
  key: string
  rule: RuleName
  tier: Tier
  precinct: string | null
  since: Instant
  raisedAt: Instant
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

export type Mark = { what: 'call' | 'visit' | 'incident'; at: Instant; position: number }

export type PrecinctState = {
  code: string
  /** Latest instant at which the office heard this precinct, by any way; null: never. */
  heardAt: Instant | null
  /** Set by PrecinctFellSilent, cleared by PrecinctHeardAgain. */
  silentSince: Instant | null
  device: DeviceState | null
  team: Register<{ present: number; missing: ReadonlyArray<{ role: string; howMany: number }> }> | null
  /** Opening and closing steps done, by code, at their earliest known instant. */
  steps: Readonly<Record<string, Instant>>
  /** By tabulator tag. */
  tapes: Readonly<Record<string, Register<{ is: TapeState; problems: readonly string[] }>>>
  /** By container; only what was recorded. */
  seals: Readonly<Record<string, SealFinding>>
  polls: Register<Polls> | null
  /** Earliest PollsOpened, and PollsClosed that stands. */
  openedAt: Instant | null
  closedAt: Instant | null
  withSlot: boolean
  movedAt: Instant | null
  counts: Readonly<Partial<Record<CountName, Register<number>>>>
  /** Public count in sheets by tabulator tag; a replaced tabulator keeps its last. */
  publicCounts: Readonly<Record<string, Register<number>>>
  stationsWorking: Register<number> | null
  /** Latest checked-in count of each quarter hour since the day's midnight, by index (0–119). */
  curve: Readonly<Record<number, Register<number>>>
  /** Equipment known to be down, by tag. */
  down: Readonly<Record<string, Register<{ down: boolean }>>>
  replaced: Readonly<Record<string, string>>
  slot: Register<'open' | 'locked'> | null
  feeds: readonly SlotFeed[]
  changes: readonly Change[]
  silences: readonly Silence[]
  marks: readonly Mark[]
  /** Asked for help and not yet answered by a logged call. */
  help: Register<{ about: string }> | null
  incidents: number
  reconciled: Register<boolean> | null
  closingTapes: Readonly<Record<string, Register<number>>>
  departed: Register<{ items: readonly string[]; seals: readonly string[] }> | null
  received: Register<{ items: readonly string[]; seals: readonly string[] }> | null
  /** Standing reasons by key. */
  reasons: Readonly<Record<string, Reason>>
  call: CallState
  /** Position of the last entry that touched this precinct. */
  touchedAt: number
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
  /** Reasons of the whole county (our own link). */
  reasons: Readonly<Record<string, Reason>>
  /** Silence deadlines restart here after an outage of our own; 0: never. */
  graceUntil: Instant
}

export const LIMITS = {
  /** Changes, silences, feeds and marks kept for each precinct; the log keeps all. */
  changes: 120,
  silences: 40,
  feeds: 60,
  marks: 60,
} as const
