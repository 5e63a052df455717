import type { Stored } from '../../server/domain/log/dayLog.ts'
import { bell, type Sql } from '../connect.ts'
import type { Channels, DayChannel } from './channel.ts'
import { PAGE, readOn } from './rows.ts'

const BELL = 'sunup_log'
/** Commits within this time ring once. */
const COALESCE_MS = 20

/**
 * Brings the followers what other nodes write. The bell (NOTIFY after a commit) makes it quick; the poll makes it
 * certain, also where a bell was lost with its connection.
 */
export class Follower {
  private readonly bell
  private readonly node = crypto.randomUUID()
  private poller: NodeJS.Timeout | null = null
  private ringing: NodeJS.Timeout | null = null
  private readonly toRing = new Set<string>()
  private polling: Promise<void> | null = null
  private ended = false

  constructor(
    private readonly sql: Sql,
    private readonly channels: Channels,
    private readonly pollMs: number,
    private readonly onError: (error: unknown) => void,
  ) {
    this.bell = bell(sql, BELL, payload => this.rung(payload))
  }

  /**
   * Reads up to where the channel is, then joins it. No entry is missed or given twice: the last look and the
   * joining happen in one turn.
   */
  async follow(day: string, after: number, onEntries: (entries: Stored[]) => void): Promise<() => void> {
    const channel = this.channels.of(day)
    let at = after
    // The head as it was before the page was read: what it counts must be there.
    for (let end = after; ; ) {
      const entries = await readOn(this.sql.reader, day, at, end)
      if (entries.length > 0) {
        at = entries.at(-1)!.entry.position
        onEntries(entries)
        continue
      }
      end = await this.endOf(day)
      channel.position ??= end
      if (at > end) throw new Error(`${day} has no entry ${at}: the cursor is of another log`)
      if (channel.position === at) break
      if (channel.position < at) await this.catchUp(channel)
    }
    const follower = (fresh: Stored[]) => onEntries(fresh)
    channel.followers.add(follower)
    this.start()
    return () => channel.followers.delete(follower)
  }

  /** Reads what is after the channel's position and gives it to the followers. One reading at a time. */
  catchUp(channel: DayChannel): Promise<void> {
    channel.reading ??= this.read(channel).finally(() => {
      channel.reading = null
    })
    return channel.reading
  }

  /** After a commit of ours: tells the other nodes, once for many commits. */
  ring(days: string[]): void {
    for (const day of days) this.toRing.add(day)
    this.ringing ??= setTimeout(() => {
      this.ringing = null
      const payloads = [...this.toRing].map(day => `${this.node} ${day}`)
      this.toRing.clear()
      // A bell that isn't heard costs a poll's wait; there is nothing to repair.
      this.sql`select pg_notify(${BELL}, p) from unnest(${payloads}::text[]) as p`.catch(() => {})
    }, COALESCE_MS)
  }

  async end(): Promise<void> {
    this.ended = true
    if (this.poller) clearTimeout(this.poller)
    if (this.ringing) clearTimeout(this.ringing)
    await this.polling
    await this.bell.end()
  }

  private async endOf(day: string): Promise<number> {
    const [row] = await this.sql.reader<{ position: number }[]>`select position from head where day = ${day}`
    if (!row) throw new Error(`there is no day ${day}`)
    return row.position
  }

  private async read(channel: DayChannel): Promise<void> {
    for (;;) {
      const at = channel.position ?? 0
      const entries = await readOn(this.sql.reader, channel.day, at, at)
      channel.deliverForeign(entries)
      if (entries.length < PAGE) return
    }
  }

  private rung(payload: string): void {
    const [node, day] = [payload.slice(0, 36), payload.slice(37)]
    if (node === this.node) return
    const channel = this.channels.followed().find(c => c.day === day)
    if (channel) this.catchUp(channel).catch(this.onError)
  }

  private start(): void {
    if (this.poller || this.ended) return
    const next = () => {
      this.poller = setTimeout(
        () => {
          this.polling = this.poll()
            .catch(this.onError)
            .finally(() => {
              if (!this.ended) next()
            })
        },
        this.pollMs * (0.8 + 0.4 * Math.random()),
      )
      this.poller.unref()
    }
    this.bell.listen().catch(this.onError)
    next()
  }

  private async poll(): Promise<void> {
    const channels = this.channels.followed()
    if (channels.length === 0 || this.sql.presence.away() !== null) return
    await this.bell.listen()
    const ends = await this.sql.reader<{ day: string; position: number }[]>`
      select day, position from head where day = any(${channels.map(c => c.day)})`
    for (const { day, position } of ends) {
      const channel = this.channels.of(day)
      if ((channel.position ?? 0) < position) await this.catchUp(channel)
    }
  }
}
