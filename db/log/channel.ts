import type { Head, Stored } from '../../server/domain/log/dayLog.ts'

export type HeadRow = Head & { day: string; revision: number }

/** `at`: when it was last known to be right, monotonic milliseconds. */
type Cursor = { upTo: number; epoch: number; at: number }

/** Sources whose cursor is remembered, per day; above it the oldest is read again when it is next needed. */
const CURSORS = 100_000

/**
 * What this process knows of one day's log. Kept true:
 * - `position` is the last entry that the followers have been given; null: nobody follows and nothing was written;
 * - entries are given once and in order, whether they come from our own commit or were read;
 * - a cursor may be trusted for deciding only when its epoch is the channel's, which changes whenever the head,
 *   seen under its lock, shows that somebody else has written. For answering `upTo` it may lag.
 */
export class DayChannel {
  position: number | null = null
  revision = -1
  epoch = 0
  /** Single flight of catching up outside the lock. */
  reading: Promise<void> | null = null
  readonly followers = new Set<(entries: Stored[]) => void>()
  private readonly cursors = new Map<string, Cursor>()

  constructor(
    readonly day: string,
    private readonly onError: (error: unknown) => void,
  ) {}

  deliver(entries: Stored[]): void {
    if (this.position === null) return
    const after = this.position
    const fresh =
      (entries[0]?.entry.position ?? 0) > after ? entries : entries.filter(e => e.entry.position > after)
    const first = fresh[0]?.entry.position
    if (first === undefined) return
    if (first !== after + 1) throw new Error(`${this.day}: entry ${first} came after ${after}`)
    this.position = fresh.at(-1)!.entry.position
    for (const follower of this.followers) {
      try {
        follower(fresh)
      } catch (error) {
        this.onError(error)
      }
    }
  }

  /** Entries of another node: they are given to the followers, and its sources' cursors move up. */
  deliverForeign(entries: Stored[]): void {
    this.deliver(entries)
    for (const { entry } of entries) {
      if (entry.number === null) continue
      const cursor = this.cursors.get(entry.source)
      if (cursor && cursor.upTo < entry.number) cursor.upTo = entry.number
    }
  }

  /** A lower bound, for answering, where it was right at `since` or later. */
  seen(source: string, since: number): number | undefined {
    const cursor = this.cursors.get(source)
    return cursor && cursor.at >= since ? cursor.upTo : undefined
  }

  /** For deciding, under the head's lock. */
  exact(source: string): number | undefined {
    const cursor = this.cursors.get(source)
    return cursor?.epoch === this.epoch ? cursor.upTo : undefined
  }

  remember(source: string, upTo: number, exact: boolean): void {
    const at = performance.now()
    const cursor = this.cursors.get(source)
    if (cursor) {
      cursor.at = at
      if (exact || upTo > cursor.upTo) cursor.upTo = upTo
      if (exact) cursor.epoch = this.epoch
      return
    }
    if (this.cursors.size >= CURSORS) this.cursors.delete(this.cursors.keys().next().value!)
    this.cursors.set(source, { upTo, epoch: exact ? this.epoch : -1, at })
  }
}

export class Channels {
  private readonly byDay = new Map<string, DayChannel>()

  constructor(private readonly onError: (error: unknown) => void) {}

  of(day: string): DayChannel {
    let channel = this.byDay.get(day)
    if (!channel) {
      channel = new DayChannel(day, this.onError)
      this.byDay.set(day, channel)
    }
    return channel
  }

  followed(): DayChannel[] {
    return [...this.byDay.values()].filter(channel => channel.followers.size > 0)
  }
}
