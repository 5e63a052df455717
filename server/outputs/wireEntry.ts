import type { Stored } from '../domain/log/dayLog.ts'
import { toRfc3339 } from '../domain/time.ts'
import type { EntryOnWire } from '../protocol/board.ts'
import { type Role, roleSeesContacts, roleSeesSeals } from '../protocol/roles.ts'
import { withoutSeals } from './withoutSeals.ts'

/** A stored entry as programs and the drawer get it, without what the role is not to read: words, seals' numbers. */
export function wireEntry(stored: Stored, role: Role): EntryOnWire {
  const { entry, hash, detail } = stored
  const body = entry.body as Record<string, unknown>
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
    body: roleSeesSeals(role) ? body : withoutSeals(body),
    ...(roleSeesContacts(role) && detail ? { detail } : {}),
    hash,
  }
}
