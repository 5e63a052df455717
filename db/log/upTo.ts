import { setTimeout as sleep } from 'node:timers/promises'
import type { Sql } from '../connect.ts'
import type { Channels } from './channel.ts'
import { cursorsOf } from './rows.ts'

/** An answer from memory is at most this old: another node may have taken reports of the same device since. */
const FRESH_MS = 1_000
/** Who asks within this time is answered by one query. */
const GATHER_MS = 2

type Batch = { sources: Set<string>; answer: Promise<Map<string, number>> }

/** How far sources came, for answering: from memory where that is fresh, else read, many at once. */
export class UpToReader {
  private readonly batches = new Map<string, Batch>()

  constructor(
    private readonly sql: Sql,
    private readonly channels: Channels,
  ) {}

  async upTo(day: string, source: string): Promise<number> {
    const seen = this.channels.of(day).seen(source, performance.now() - FRESH_MS)
    if (seen !== undefined) return seen
    let batch = this.batches.get(day)
    if (!batch) {
      const sources = new Set<string>()
      batch = { sources, answer: this.read(day, sources) }
      this.batches.set(day, batch)
    }
    batch.sources.add(source)
    return (await batch.answer).get(source) ?? 0
  }

  private async read(day: string, sources: Set<string>): Promise<Map<string, number>> {
    await sleep(GATHER_MS)
    this.batches.delete(day)
    const answer = await cursorsOf(this.sql.reader, day, [...sources])
    // A command is asked about once: remembering it would only push the devices out.
    for (const [source, upTo] of answer)
      if (source.startsWith('device:')) this.channels.of(day).remember(source, upTo, false)
    return answer
  }
}
