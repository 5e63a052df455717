import {
  Busy,
  type Decision,
  type Head,
  type NewEntry,
  type Offered,
  type ReportOutcome,
} from '../../server/domain/log/dayLog.ts'
import type { Instant } from '../../server/domain/time.ts'

/** What one caller asked for. `settle` and `reject` do nothing the second time. */
export type Work =
  | {
      is: 'report'
      source: string
      offered: Offered[]
      keptAside: ((howMany: number, recordedAt: Instant) => NewEntry) | undefined
      settle(outcome: ReportOutcome): void
    }
  | { is: 'append'; make: (recordedAt: Instant) => NewEntry; settle(head: Head): void }
  | {
      is: 'decide'
      decide: (now: Instant) => Decision<unknown>
      settle(done: { result: unknown; head: Head }): void
    }
  | { is: 'erase'; position: number; why: string; wrote: string; settle(erased: boolean): void }

export type Waiting = {
  day: string
  work: Work
  /** Reports and entries it may bring. */
  size: number
  bytes: number
  /** Monotonic milliseconds. */
  since: number
  settled: boolean
  reject(error: unknown): void
}

export const QUEUE_LIMITS = {
  /** Reports and entries that wait or are being written: two seconds of work on a small machine. */
  waiting: 20_000,
  /** Their text: what the queue may cost in memory. */
  bytes: 64 * 1024 * 1024,
  /** Of one transaction. */
  group: 4_000,
  groupBytes: 8 * 1024 * 1024,
} as const

/** An entry that isn't a report: what it may weigh, for the limit on bytes. */
const ENTRY_BYTES = 1_000

/**
 * What waits to be written, first come first served but for commands: a group takes at most one command a day,
 * and it stands first in its group, so that it is decided on the state at the head. Bounded: at the bound a call
 * is answered `Busy` and nothing of it is kept.
 */
export class Queue {
  private waiting: Waiting[] = []
  private size = 0
  private bytes = 0
  /** Reports and entries written per millisecond lately: for the advice when to come again. */
  private rate = 1

  /** @throws Busy at the bound */
  add(day: string, work: Work, reject: (error: unknown) => void, since: number): void {
    const size = work.is === 'report' ? work.offered.length : 1
    let bytes = ENTRY_BYTES
    if (work.is === 'report') for (const o of work.offered) bytes += o.length ?? o.sent.length
    if (this.size > 0 && (this.size + size > QUEUE_LIMITS.waiting || this.bytes + bytes > QUEUE_LIMITS.bytes))
      throw new Busy(Math.round(Math.min(5_000, Math.max(200, this.size / this.rate))))
    const item: Waiting = { day, work, size, bytes, since, settled: false, reject: () => {} }
    item.reject = error => {
      if (item.settled) return
      item.settled = true
      reject(error)
    }
    this.size += size
    this.bytes += bytes
    this.waiting.push(item)
  }

  get isEmpty(): boolean {
    return this.waiting.length === 0
  }

  /** Reports and entries that wait or are being written. */
  get load(): number {
    return this.size
  }

  /** The next group. It counts against the bound until `done`. */
  take(): Waiting[] {
    const group: Waiting[] = []
    const left: Waiting[] = []
    const deciding = new Set<string>()
    let size = 0
    let bytes = 0
    for (const item of this.waiting) {
      const isSecond = item.work.is === 'decide' && deciding.has(item.day)
      const isFull =
        group.length > 0 &&
        (size + item.size > QUEUE_LIMITS.group || bytes + item.bytes > QUEUE_LIMITS.groupBytes)
      if (isSecond || isFull) {
        left.push(item)
        // What comes later of the same source must not overtake it.
        if (isFull) size = Number.POSITIVE_INFINITY
        continue
      }
      if (item.work.is === 'decide') deciding.add(item.day)
      size += item.size
      bytes += item.bytes
      group.push(item)
    }
    this.waiting = left
    return group
  }

  done(group: Waiting[], tookMs: number): void {
    let size = 0
    for (const item of group) {
      size += item.size
      this.bytes -= item.bytes
    }
    this.size -= size
    this.rate = 0.8 * this.rate + 0.2 * (size / Math.max(1, tookMs))
  }

  /** Rejects what has waited since before an instant and is not in a group. */
  expire(before: number, error: () => unknown): void {
    const late = this.waiting.filter(item => item.since < before)
    if (late.length === 0) return
    this.waiting = this.waiting.filter(item => item.since >= before)
    this.done(late, Number.POSITIVE_INFINITY)
    for (const item of late) item.reject(error())
  }
}
