import type { Instant } from '../time.ts'
import type { Dated } from './aside.ts'
import type { Detail, Draft, Entry } from './entry.ts'

/**
 * The log as the rooms of the server are given it (the door to db/dayLog.ts; tests may give another).
 *
 * Kept true by every implementation (contract: tests/server/dayLogContract.ts):
 * - positions of a day are 1, 2, 3 … without gaps, in commit order; recordedAt never goes back (P3);
 * - what was acknowledged is committed (P1); the same source and number is written once (P2);
 * - hash(n) = SHA-256(hash(n − 1) + "\n" + text(n)) in hex, hash(0) = 64 zeros (P13);
 * - committed entries reach the subscribers in order, each once, before the writer's promise resolves.
 */

export type Stored = {
  entry: Entry
  /** Exactly the bytes that were hashed (UTF-8). */
  text: string
  hash: string
  /** Erasable words, where there are any and they stand. */
  detail?: Detail
}

export type Head = { position: number; hash: string; recordedAt: Instant }

export type NewEntry = Draft & { detail?: Detail }

export type Problems = ReadonlyArray<{ path: string; message: string }>

/** The stored log can't be what was written: an entry is missing. Nothing goes on from here by itself. */
export class LogDamaged extends Error {
  override readonly name = 'LogDamaged'
  constructor(day: string, position: number) {
    super(
      `the log of ${day} is damaged: entry ${position} is missing; look at it with: npm run sunup -- log verify ${day}`,
    )
  }
}

/** One numbered report of a device: fit to be logged, or refused with its problems. */
export type Offered = {
  number: number
  /** Fingerprint of what was sent (domain/log/fingerprint.ts): the same number with another one is `number-reused`. */
  content: bigint
  /** What was sent, as JSON text: kept where it is refused. May be a getter: most are never asked for. */
  sent: string
  /** About how long `sent` is, where it is known without asking for it. */
  length?: number
} & (
  | { make: (recordedAt: Instant) => NewEntry }
  | {
      problems: Problems
      /** Kept aside for the desk, with its times where they can be told; absent: refused for good. */
      aside?: (recordedAt: Instant) => Dated | null
    }
)

export type ReportOutcome = {
  /** Highest number dealt with, accepted or refused. */
  upTo: number
  /** There was a gap before this batch's next number; nothing after it was taken. */
  gap: boolean
  refused: Array<{ number: number; problems: Problems }>
}

/** What is decided under the head's lock, on the state folded up to the head. Synchronous. */
export type Decision<R> = { entries: NewEntry[]; result: R }

export type DayLogWriter = {
  /**
   * Numbered reports of one source in ascending order. Resolves after the commit. `keptAside` makes the entry that says
   * how many of them were newly kept aside, written with them; absent: none is written.
   */
  report(
    day: string,
    source: string,
    offered: Offered[],
    keptAside?: (howMany: number, recordedAt: Instant) => NewEntry,
  ): Promise<ReportOutcome>
  /** One unnumbered entry (a heartbeat that says something new). */
  append(day: string, make: (recordedAt: Instant) => NewEntry): Promise<Head>
  /**
   * Runs `decide` when the subscribers have seen everything up to the head and nobody else can append. Entries
   * whose source and number are in the log already are dropped. It may run again where the first try was rolled
   * back, so it must have no effect but its answer.
   */
  decide<R>(day: string, decide: (now: Instant) => Decision<R>): Promise<{ result: R; head: Head }>
  /** Erases the words of one entry and appends DetailErased; false where there were none. */
  erase(day: string, position: number, why: string, wrote: string): Promise<boolean>
}

export type DayLogReader = {
  head(day: string): Promise<Head>
  /** Entries after a position, ascending. */
  read(day: string, after: number, limit: number): Promise<Stored[]>
  /** Latest first. */
  readPrecinct(day: string, precinct: string, limit: number, before?: number): Promise<Stored[]>
  /**
   * Highest number dealt with of a source; 0: none. May lag a second behind what another node took, which
   * costs a resend and nothing else.
   */
  upTo(day: string, source: string): Promise<number>
  verify(day: string): Promise<Verification>
}

export type DayLog = DayLogReader &
  DayLogWriter & {
    /** Called with entries in order, each once, from `after` the given position on; other nodes' too. Returns stop. */
    follow(day: string, after: number, onEntries: (entries: Stored[]) => void): Promise<() => void>
  }

/**
 * Too much is waiting to be written: nothing of the call was taken. Come again after `retryAfter` milliseconds.
 */
export class Busy extends Error {
  override readonly name = 'Busy'
  constructor(readonly retryAfter: number) {
    super('too many reports are waiting for the log')
  }
}

/**
 * The database could not be reached in time. What was asked was not acknowledged and may or may not be in the
 * log; the same source and number sent again is written once at most. Come again after `retryAfter` ms.
 */
export class Unavailable extends Error {
  override readonly name = 'Unavailable'
  constructor(
    readonly retryAfter: number,
    cause?: unknown,
  ) {
    super('the log can’t be written just now', { cause })
  }
}

export type Verification =
  | { ok: true; entries: number; head: Head }
  | {
      ok: false
      position: number
      problem: 'altered' | 'missing' | 'detail-altered' | 'head-differs'
      message: string
    }
