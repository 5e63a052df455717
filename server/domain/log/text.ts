import type { Instant } from '../time.ts'
import { fromRfc3339, toRfc3339 } from '../time.ts'
import type { Entry, Origin } from './entry.ts'
import { isKind, type Kind, kinds } from './kinds.ts'
import { upcast } from './upcast.ts'

/**
 * The text of an entry: exactly the bytes that are hashed, stored and exported. The order of the keys is part of
 * the format and never changes. Times are RFC 3339 in UTC. It holds no line break (JSON escapes them), so a log
 * is one entry a line.
 */
export function entryText(day: string, entry: Entry): string {
  return (
    `{"day":${JSON.stringify(day)},"position":${entry.position},"kind":"${entry.kind}","version":${entry.version}` +
    `,"precinct":${entry.precinct === null ? 'null' : JSON.stringify(entry.precinct)}` +
    `,"source":${JSON.stringify(entry.source)},"number":${entry.number}` +
    `,"occurredAt":"${instantText(entry.occurredAt)}","recordedAt":"${instantText(entry.recordedAt)}"` +
    `,"origin":${JSON.stringify(entry.origin)},"body":${JSON.stringify(entry.body)}}`
  )
}

type Written = {
  position: number
  kind: Kind
  version: number
  precinct: string | null
  source: string
  number: number | null
  occurredAt: string
  recordedAt: string
  origin: Origin
  body: unknown
}

/**
 * The entry of a stored text, its body lifted to today's version of its kind. Throws on a kind or version that
 * this program doesn't know: the log was written by a newer Sunup and must not be half read.
 */
export function parseEntry(text: string): Entry {
  const written = JSON.parse(text) as Written
  const { kind } = written
  if (!isKind(kind))
    throw new Error(`entry ${written.position} is a ${kind}: it was written by a newer Sunup`)
  const current = kinds[kind].version
  return {
    kind,
    version: current,
    precinct: written.precinct,
    source: written.source,
    number: written.number,
    occurredAt: fromRfc3339(written.occurredAt),
    origin: written.origin,
    body: written.version === current ? written.body : upcast(written),
    position: written.position,
    recordedAt: fromRfc3339(written.recordedAt),
  } as Entry
}

// The entries of one commit share their recordedAt, so the last text is kept: the answer is the same either way.
let lastInstant: Instant = Number.NaN
let lastText = ''

function instantText(at: Instant): string {
  if (at !== lastInstant) {
    lastText = toRfc3339(at)
    lastInstant = at
  }
  return lastText
}
