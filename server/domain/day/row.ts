import type { Instant } from '../time.ts'
import type { CallState, Reason, Standing } from './state.ts'

/**
 * What a board gets of one precinct: a pure function of the state at a cursor (rowOf in rowOf.ts), at most
 * 2 KB for a usual precinct at the end of its day; each further standing reason adds a quarter. Nothing in it depends on "now": ages and late signs are worked out where it is drawn.
 */
export type BoardRow = {
  code: string
  standing: Standing
  heardAt: Instant | null
  silentSince: Instant | null
  openedAt: Instant | null
  closedAt: Instant | null
  suspended: boolean
  /** Opening steps done, of how many; the next that can be done. */
  opening: { done: number; of: number; next: string | null }
  closing: { done: number; of: number }
  team: { present: number; missing: number; asOf: Instant } | null
  tape: 'none' | 'verified' | 'rejected'
  checkedIn: Figure | null
  /** Expected by the profile at the count's own instant. */
  expectedThen: number | null
  publicCount: Figure | null
  inLine: Figure | null
  /** Put in minus fed minus handed over; null while never used. */
  inSlot: Figure | null
  ballotsLeft: Figure | null
  spoiled: Figure | null
  provisional: Figure | null
  curbside: Figure | null
  slotOpen: boolean
  /** Tags of equipment that is down. */
  down: readonly string[]
  device: {
    id: string
    battery: number | null
    charging: boolean | null
    waiting: number
    skewSeconds: number
  } | null
  strip: Strip
  reasons: readonly Reason[]
  call: CallState
  departedAt: Instant | null
  receivedAt: Instant | null
  touchedAt: number
}

/** A number and the instant at which it was so. */
export type Figure = { is: number; asOf: Instant }

export type Span = { what: 'down' | 'slot' | 'silent' | 'suspended'; from: Instant; to: Instant | null }

/** The data of a day strip; drawn by app/parts/strip. */
export type Strip = {
  /** When setting up began to be known, and each opening step's instant. */
  setUpFrom: Instant | null
  notches: readonly Instant[]
  /** Voters checked in per quarter hour since local midnight: [quarter, voters]. Between two counts they are spread evenly. */
  bars: ReadonlyArray<readonly [number, number]>
  spans: readonly Span[]
  marks: ReadonlyArray<readonly ['call' | 'visit' | 'incident', Instant]>
}

/** One line of the call list: a precinct and its reasons, or one cause across many precincts. */
export type CallLine = {
  /** Precinct code, or the key of a cause that many share. */
  key: string
  precincts: readonly string[]
  tier: Reason['tier']
  voterMinutes: number
  since: Instant
  reasons: readonly Reason[]
  call: CallState
  /** Steps back: taken, deferred, being watched. It stays on the list, dimmed. */
  steppedBack: boolean
}
