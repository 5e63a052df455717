import type { Stored } from '../domain/log/dayLog.ts'
import { toRfc3339 } from '../domain/time.ts'
import type { EntryOnWire } from '../protocol/board.ts'

/** A stored entry as programs and the drawer get it. `withWords`: may this role read the erasable words? */
export function wireEntry(stored: Stored, withWords: boolean): EntryOnWire {
  const { entry, hash, detail } = stored
  return {
    position: entry.position,
    kind: entry.kind,
    version: entry.version,
    precinct: entry.precinct,
    source: entry.source,
    number: entry.number,
    occurredAt: toRfc3339(entry.occurredAt),
    recordedAt: toRfc3339(entry.recordedAt),
    origin: { ...entry.origin },
    body: entry.body as Record<string, unknown>,
    ...(withWords && detail ? { detail } : {}),
    hash,
  }
}
