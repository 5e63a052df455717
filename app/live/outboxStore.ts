import type { Problem } from '../../server/protocol/device.ts'
import type { Stamp } from './deviceSteady.ts'

/**
 * Where a device keeps what it said. What every store keeps true:
 * - a number is taken and its report saved in one step: after a crash there is either both or neither, and two
 *   tabs never get the same number;
 * - a report leaves `waiting` or `again` only by `settle`, that is after the office's answer;
 * - what the office has dealt with is kept (KEPT), because an office that was restored from a copy asks for it again;
 * - a method that can't do its work (no space, no storage) rejects; it never pretends.
 */
export type OutboxStore = {
  /** The device whose numbers these are. */
  readonly device: string
  /** Makes the head when it is new; after enrolment numbering goes on from `upTo`. Never lowers a head. */
  open(upTo: number): Promise<OutboxHead>
  /** Takes the next number and saves. `full`: so many are waiting or refused already; nothing was saved. */
  add(said: NewReport, limit: number): Promise<KeptReport | 'full'>
  /** The lowest numbers that are to be sent, `again` or `waiting`, in order, at most `max`. */
  waiting(max: number): Promise<KeptReport[]>
  /**
   * These go out for the first time, as they stand here: their times are kept so, and nothing dates them anew. Sent
   * again with another time a report would be another one under a number that is used (P2).
   */
  fix(going: readonly KeptReport[]): Promise<void>
  /** Marks these numbers as dealt with, and refused ones with their problems. `upTo` may raise the head. */
  settle(answer: Settled): Promise<void>
  /**
   * The office asks for `from` again: everything dealt with from there on is `again`, and the head's `upTo` goes
   * back. Only done where all numbers from `from` up to what waits are still held; else nothing changes and `false`
   * is the answer.
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
  /** Highest number the office has dealt with; lower again where it was restored from a copy. */
  upTo: number
}

export type NewReport = {
  /** By this device's clock, RFC 3339. */
  at: string
  kind: string
  body: Record<string, unknown>
  /** Day time as the page showed it when this was said; only for showing. Null: not known then. */
  dayAt: number | null
  /** What tells `at` even if the clock is set before it is sent. */
  stamp?: Stamp
}

/**
 * `waiting` → `had` or `refused`; `refused` → `mended` (said anew) or `left`. Each of these four → `again` where the
 * office lost it and is sent it once more; then it is what it was before, or what the office now says of it.
 */
export type ReportState = 'waiting' | 'had' | 'refused' | 'mended' | 'left' | 'again'
type DealtState = Exclude<ReportState, 'waiting' | 'again'>

/** As it goes out: its times are what they are from now on. */
export function fixedAs(report: KeptReport, { at, body }: Pick<KeptReport, 'at' | 'body'>): KeptReport {
  const { stamp: _, ...rest } = report
  return { ...rest, at, body }
}

export type ReportName = { device: string; number: number }

export type KeptReport = NewReport &
  ReportName & {
    state: ReportState
    /** What it was before it had to be sent again; only where it is `again`. */
    before?: DealtState
    problems?: Problem[]
    /** When the office's answer came, wall time in ms. */
    dealtAt?: number
  }

type Settled = {
  /** Numbers that were in the request and are dealt with. */
  numbers: number[]
  upTo: number
  refused: Array<{ number: number; problems: Problem[] }>
  at: number
}

export type OutboxSummary = {
  head: OutboxHead
  /** Not with the office: waiting, or to be sent again. */
  waiting: number
  /** Of these, how many the office had and lost. */
  again: number
  refused: number
  /** This device's reports, latest number first, at most KEPT.dealtWith + what waits. */
  reports: KeptReport[]
  /** Waiting or refused under an earlier enrolment of this device for the same day and precinct. */
  leftovers: KeptReport[]
}

export const KEPT = {
  /**
   * Reports the office has dealt with that stay for the list and for going back: the whole day of any tablet (some
   * hundreds), and as many as the office takes from one device at once. Older ones are let go.
   */
  dealtWith: 5_000,
} as const

/** Whose reports a store holds: leftovers are looked for under the same day and precinct only. */
export type OutboxOwner = { device: string; day: string; precinct: string }

/** Something that the office doesn't have and its worker stands by or must look at. */
export function isOpen({ state, before }: KeptReport): boolean {
  return state === 'waiting' || state === 'refused' || (state === 'again' && !isClosed(before))
}

/** Counts against the limit. What is sent again does not: nobody is kept from reporting by a loss of the office's. */
export const LIMITED = ['waiting', 'refused'] as const

/** It is said and stands, whether the office has it now or not. */
export function stands({ state, before }: KeptReport): boolean {
  return state === 'waiting' || state === 'had' || (state === 'again' && before === 'had')
}

export function sentAgain(report: KeptReport): KeptReport {
  const { state } = report
  return state === 'waiting' || state === 'again' ? report : { ...report, state: 'again', before: state }
}

/** The report after the office's answer; `why`: its problems, where it was refused. */
export function dealtWith(report: KeptReport, why: Problem[] | undefined, at: number): KeptReport {
  const { problems: _, before, ...rest } = report
  if (!why) return { ...rest, state: 'had', dealtAt: at }
  // Refused as it was before, and its worker has dealt with that already.
  return { ...rest, state: isClosed(before) ? before : 'refused', problems: why, dealtAt: at }
}

/** Its worker has said it anew, or leaves it; what is still to be sent again is sent all the same. */
export function closedAs(report: KeptReport, as: 'mended' | 'left'): KeptReport {
  return report.state === 'again' ? { ...report, before: as } : { ...report, state: as }
}

function isClosed(before: DealtState | undefined): before is 'mended' | 'left' {
  return before === 'mended' || before === 'left'
}
