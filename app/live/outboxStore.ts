import type { Problem } from '../../server/protocol/device.ts'

/**
 * Where a device keeps what it said. What every store keeps true:
 * - a number is taken and its report saved in one step: after a crash there is either both or neither, and two
 *   tabs never get the same number;
 * - a report leaves `waiting` only by `settle`, that is after the office's answer;
 * - a method that can't do its work (no space, no storage) rejects; it never pretends.
 */
export type OutboxStore = {
  /** The device whose numbers these are. */
  readonly device: string
  /** Makes the head when it is new; after enrolment numbering goes on from `upTo`. Never lowers a head. */
  open(upTo: number): Promise<OutboxHead>
  /** Takes the next number and saves. `full`: so many are waiting or refused already; nothing was saved. */
  add(said: NewReport, limit: number): Promise<KeptReport | 'full'>
  /** The lowest waiting numbers, in order, at most `max`. */
  waiting(max: number): Promise<KeptReport[]>
  /** Marks these numbers as dealt with, and refused ones with their problems. `upTo` may raise the head. */
  settle(answer: Settled): Promise<void>
  /**
   * The office asks for `from` again: everything dealt with from there on waits again. Only done where all
   * numbers from `from` up to what waits are still held; else nothing changes and `false` is the answer.
   */
  goBack(from: number): Promise<boolean>
  /** Says a refused report anew under a new number, and marks the old one, in one step. */
  again(of: ReportName, said: NewReport, limit: number): Promise<KeptReport | 'full'>
  /** A refused report that its worker decided not to send again. It stays listed. */
  leave(of: ReportName): Promise<void>
  summary(): Promise<OutboxSummary>
}

export type OutboxHead = {
  /** Highest number given out here, or known to be used at the office. */
  last: number
  /** Highest number the office has dealt with. */
  upTo: number
}

export type NewReport = {
  /** By this device's clock, RFC 3339. */
  at: string
  kind: string
  body: Record<string, unknown>
  /** Day time as the page showed it when this was said; only for showing. Null: not known then. */
  dayAt: number | null
}

/** `waiting` → `had` or `refused`; `refused` → `mended` (said anew) or `left`. */
export type ReportState = 'waiting' | 'had' | 'refused' | 'mended' | 'left'

export type ReportName = { device: string; number: number }

export type KeptReport = NewReport &
  ReportName & {
    state: ReportState
    problems?: Problem[]
    /** When the office's answer came, wall time in ms. */
    dealtAt?: number
  }

export type Settled = {
  /** Numbers that were in the request and are dealt with. */
  numbers: number[]
  upTo: number
  refused: Array<{ number: number; problems: Problem[] }>
  at: number
}

export type OutboxSummary = {
  head: OutboxHead
  waiting: number
  refused: number
  /** This device's reports, latest number first, at most KEPT.dealtWith + what waits. */
  reports: KeptReport[]
  /** Waiting or refused under an earlier enrolment of this device for the same day and precinct. */
  leftovers: KeptReport[]
}

export const KEPT = {
  /** Reports the office has dealt with that stay for the list and for going back; older ones are let go. */
  dealtWith: 500,
} as const

/** Whose reports a store holds: leftovers are looked for under the same day and precinct only. */
export type OutboxOwner = { device: string; day: string; precinct: string }

/** States that stand for something the office doesn't have yet, and count against the limit. */
export function isOpen(state: ReportState): boolean {
  return state === 'waiting' || state === 'refused'
}
