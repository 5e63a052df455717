import type { DayLog, Decision, Head } from '../server/domain/log/dayLog.ts'
import type { Instant } from '../server/domain/time.ts'
import type { Sql } from './connect.ts'
import { Channels } from './log/channel.ts'
import { Follower } from './log/follow.ts'
import { readEntries, readPrecinctEntries } from './log/rows.ts'
import { UpToReader } from './log/upTo.ts'
import { verifyDay } from './log/verify.ts'
import { Writer } from './log/writer.ts'

export type DayLogOptions = {
  /** Day time of a day. */
  now: (day: string) => Instant
  /** How long the first report of a group waits for company, milliseconds. */
  gatherMs?: number
  /** How long a caller waits for a database that is gone before it is told, milliseconds. */
  patienceMs?: number
  /** How often other nodes' entries are looked for, beside the bell that usually tells, milliseconds. */
  pollMs?: number
  /** Trouble that no caller is told of: a follower that threw, a connection lost and tried again. */
  onError?: (error: unknown) => void
}

export type ClosableLog = DayLog & {
  /** Reports and entries that somebody waits for. */
  waiting(): number
  close(): Promise<void>
}

/**
 * The day log in Postgres; the contract is server/domain/log/dayLog.ts. One writer a process, any number of
 * processes on one database. `close` writes what waits and ends; the pool stays the caller's.
 */
export function openDayLog(sql: Sql, options: DayLogOptions): ClosableLog {
  const onError = options.onError ?? (() => {})
  const channels = new Channels(onError)
  const follower = new Follower(sql, channels, options.pollMs ?? 1_000, onError)
  const reader = new UpToReader(sql, channels)
  const writer = new Writer(sql, channels, {
    now: options.now,
    gatherMs: options.gatherMs ?? 3,
    patienceMs: options.patienceMs ?? 10_000,
    onError,
    onCommitted: days => follower.ring(days),
  })

  return {
    report: (day, source, offered, keptAside) =>
      writer.ask(day, settle => ({ is: 'report', source, offered, keptAside, settle })),
    append: (day, make) => writer.ask(day, settle => ({ is: 'append', make, settle })),
    decide: <R>(day: string, decide: (now: Instant) => Decision<R>) =>
      writer.ask<{ result: R; head: Head }>(day, settle => ({
        is: 'decide',
        decide,
        settle: done => settle({ result: done.result as R, head: done.head }),
      })),
    erase: (day, position, why, wrote) =>
      writer.ask(day, settle => ({ is: 'erase', position, why, wrote, settle })),

    head: async day => {
      const [head] = await sql.reader<Head[]>`
        select position, hash, recorded_at as "recordedAt" from head where day = ${day}`
      if (!head) throw new Error(`there is no day ${day}`)
      return { position: head.position, hash: head.hash, recordedAt: head.recordedAt }
    },
    read: (day, after, limit) => readEntries(sql.reader, day, after, limit),
    readPrecinct: (day, precinct, limit, before = Number.MAX_SAFE_INTEGER) =>
      readPrecinctEntries(sql.reader, day, precinct, limit, before),
    upTo: (day, source) => reader.upTo(day, source),
    verify: day => verifyDay(sql.reader, day),
    follow: (day, after, onEntries) => follower.follow(day, after, onEntries),

    waiting: () => writer.waiting(),
    close: async () => {
      await writer.close()
      await follower.end()
    },
  }
}
