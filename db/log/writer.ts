import { setImmediate as nextTurn, setTimeout as sleep } from 'node:timers/promises'
import { Unavailable } from '../../server/domain/log/dayLog.ts'
import type { Instant } from '../../server/domain/time.ts'
import type { Sql, Tx } from '../connect.ts'
import { isTransient } from '../trouble.ts'
import type { Channels } from './channel.ts'
import { type Staged, stageGroup } from './group.ts'
import { Queue, type Waiting, type Work } from './queue.ts'
import { lockHeads } from './rows.ts'

export type WriterOptions = {
  now: (day: string) => Instant
  /** How long the first report of a group waits for company, milliseconds. */
  gatherMs: number
  /** How long a caller waits for a database that is gone, milliseconds. */
  patienceMs: number
  onError: (error: unknown) => void
  /** After each commit that wrote to these days. */
  onCommitted: (days: string[]) => void
}

/** A group this large waits for no company. */
const ENOUGH = 500
const BACKOFF_MS = { first: 50, most: 1_000 }
/** While the database is away: how often it is looked whether anybody still waits for the group. */
const LOOK_MS = 100

/**
 * The one writer of this process. Kept true:
 * - answers follow the commit, and the followers have the entries before the answers are given;
 * - where the connection is lost during the commit, nobody knows whether it was done: the next try locks the
 *   heads (which waits for whatever is left of the last try), and looks whether its first entry stands there
 *   with its hash. If so it was done, and nothing is written twice;
 * - one caller's fault never costs another: a group that the database refuses is tried again one by one;
 * - a database that is away is not tried: the writer waits until it is back, or nobody waits for the group.
 */
export class Writer {
  private readonly queue = new Queue()
  private running: Promise<void> | null = null
  private inGroup: Waiting[] = []
  private closing = false
  private readonly patience: NodeJS.Timeout

  constructor(
    private readonly sql: Sql,
    private readonly channels: Channels,
    private readonly options: WriterOptions,
  ) {
    const everyMs = Math.min(500, Math.max(20, options.patienceMs / 4))
    this.patience = setInterval(() => this.expire(), everyMs)
    this.patience.unref()
  }

  /** Puts one caller's work into the queue. Rejects with Busy or Unavailable. */
  ask<R>(day: string, work: (settle: (answer: R) => void) => Work): Promise<R> {
    return new Promise<R>((resolve, reject) => {
      if (this.closing) throw unavailable()
      this.queue.add(day, work(resolve), reject, performance.now())
      this.running ??= this.run()
    })
  }

  /** Reports and entries that are not written yet. */
  waiting(): number {
    return this.queue.load
  }

  /** Takes no more, writes what waits, and ends. What can't be written within the patience is rejected. */
  async close(): Promise<void> {
    this.closing = true
    await this.running
    clearInterval(this.patience)
  }

  private async run(): Promise<void> {
    try {
      await sleep(this.options.gatherMs)
      while (!this.queue.isEmpty) {
        const group = this.queue.take()
        const start = performance.now()
        this.inGroup = group
        await this.write(group)
        this.inGroup = []
        this.queue.done(group, performance.now() - start)
        // Whoever was answered speaks again in this turn; a small group waits a little for company.
        await (this.queue.load >= ENOUGH ? nextTurn() : sleep(this.options.gatherMs))
      }
    } finally {
      this.running = null
    }
  }

  private async write(group: Waiting[]): Promise<void> {
    let inDoubt: Staged | null = null
    for (let attempt = 0; ; attempt++) {
      while (!(await this.sql.presence.back(LOOK_MS)) && group.some(item => !item.settled))
        await sleep(LOOK_MS)
      const open = group.filter(item => !item.settled)
      if (open.length === 0) return
      try {
        const done: Staged = await this.sql.begin(async tx => {
          if (inDoubt && (await wasCommitted(tx, inDoubt))) return inDoubt
          inDoubt = null
          inDoubt = await stageGroup(tx, open, this.channels, this.options.now)
          return inDoubt
        })
        this.finish(done)
        return
      } catch (error) {
        if (attempt === 0 || !isTransient(error)) this.options.onError(error)
        if (!isTransient(error)) {
          if (open.length === 1) open[0]!.reject(error)
          else for (const item of open) await this.write([item])
          return
        }
        const most = Math.min(BACKOFF_MS.most, BACKOFF_MS.first * 2 ** attempt)
        await sleep(most * (0.5 + Math.random() / 2))
      }
    }
  }

  /** Committed: the followers first, then the answers. */
  private finish({ days, answers }: Staged): void {
    const written: string[] = []
    for (const { channel, batch, cursors } of days) {
      if (!batch.isEmpty) {
        channel.revision = batch.before.revision + 1
        written.push(channel.day)
      }
      for (const [source, upTo] of cursors) channel.remember(source, upTo, true)
      try {
        channel.deliver(batch.stored)
      } catch (error) {
        this.options.onError(error)
      }
    }
    for (const answer of answers) answer()
    if (written.length > 0) this.options.onCommitted(written)
  }

  private expire(): void {
    const { presence } = this.sql
    const givenUp = presence.hurried() && presence.away() !== null
    const before = givenUp ? Number.POSITIVE_INFINITY : performance.now() - this.options.patienceMs
    this.queue.expire(before, unavailable)
    for (const item of this.inGroup) if (item.since < before) item.reject(unavailable())
  }
}

/** The same advice for everybody would bring them all back at once. */
function unavailable(): Unavailable {
  return new Unavailable(Math.round(1_000 + Math.random() * 2_000))
}

async function wasCommitted(tx: Tx, staged: Staged): Promise<boolean> {
  await lockHeads(tx, staged.days.map(({ channel }) => channel.day).sort())
  const proof = staged.days.find(({ batch }) => batch.stored.length > 0)
  if (!proof) return false
  const { entry, hash } = proof.batch.stored[0]!
  const rows = await tx`
    select 1 from entry where day = ${proof.channel.day} and position = ${entry.position} and hash = ${hash}`
  return rows.length > 0
}
