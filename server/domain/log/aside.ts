import type { Instant } from '../time.ts'
import { checkPrecinctReport, partDetail } from './check.ts'
import type { NewEntry, Problems } from './dayLog.ts'
import type { Detail, Origin } from './entry.ts'
import { kinds, type PrecinctKind } from './kinds.ts'

/**
 * Reports that the log did not take and the desk may still accept: what a tablet says after another took its place,
 * and other content under a number that was used before.
 */

/**
 * Times of a report kept aside, as its entry will say them: by the usual formula at the moment it was received, since
 * how fast a practice day ran then is not known later.
 */
export type Dated = {
  occurredAt: Instant
  origin: Origin
  /** Of the body's `asOf`, where it has one: RFC 3339 in day time. */
  asOf?: string
}

export type KeptAside = {
  /** JSON as it was sent; cut off where it was too long. */
  sent: string
  problems: Problems
  dated: Dated | null
}

const ASIDE = 'aside:'

/** Path of the one problem by which a tablet knows that another took its place; its words are the page's own. */
export const DEVICE_REPLACED = 'device-replaced'

export const deviceReplaced: Problems = [
  {
    path: DEVICE_REPLACED,
    message: 'another tablet took this one’s place; what it says is kept aside until the office accepts it',
  },
]

/** What the log would have said of the times of an entry that is not taken. */
export function datedOf({ occurredAt, origin, body }: NewEntry): Dated {
  const { asOf } = body as { asOf?: unknown }
  return typeof asOf === 'string' ? { occurredAt, origin, asOf } : { occurredAt, origin }
}

/**
 * The source under which the desk's answer to one report stands in the log, beside the report's number: accepted or
 * left, once. `content` is the fingerprint of what was sent: a copied device can send several under one number.
 * db/days.ts looks answers up by the same name.
 */
export function asideSource(device: string, content: number): string {
  return `${ASIDE}${device}:${content}`
}

/** The device of an answer's source; null: of another source. */
export function answeredDevice(source: string): string | null {
  return source.startsWith(ASIDE) ? source.slice(ASIDE.length, source.lastIndexOf(':')) : null
}

/** What the log says in the moment in which reports of a device are kept aside: how many, never what they say. */
export function keptAsideEntry(precinct: string, device: string, howMany: number, now: Instant): NewEntry {
  return {
    kind: 'ReportsKeptAside',
    version: kinds.ReportsKeptAside.version,
    precinct,
    source: 'system',
    number: null,
    occurredAt: now,
    origin: { via: 'system' },
    body: { device, howMany },
  }
}

type Read =
  | { ok: true; kind: PrecinctKind; body: Record<string, unknown>; detail?: Detail; dated: Dated }
  | { ok: false; kind: string | null; problems: Problems }

/** A report kept aside as it can be accepted, or why it can't be. */
export function readAside({ sent, problems, dated }: KeptAside): Read {
  const report = jsonOf(sent)
  const kind = typeof report?.kind === 'string' ? report.kind.slice(0, 60) : null
  const own = problems.filter(p => p.path !== DEVICE_REPLACED)
  if (report === null || kind === null)
    return { ok: false, kind, problems: own.length > 0 ? own : [{ path: '', message: 'this can’t be read' }] }
  const checked = checkPrecinctReport(kind, report.body)
  if ('problems' in checked) return { ok: false, kind, problems: checked.problems }
  if (dated === null)
    return { ok: false, kind, problems: [{ path: 'at', message: 'when it happened was not kept' }] }
  return { ok: true, kind: checked.kind, ...partDetail(checked.kind, checked.body), dated }
}

/** The entry of an accepted report: at the time it happened, said by its device, accepted by a person at the desk. */
export function acceptedEntry(
  read: Read & { ok: true },
  of: { precinct: string; device: string; number: number; content: number },
  by: string,
  now: Instant,
): NewEntry {
  const { occurredAt, origin, asOf } = read.dated
  return {
    kind: read.kind,
    version: kinds[read.kind].version,
    precinct: of.precinct,
    source: asideSource(of.device, of.content),
    number: of.number,
    occurredAt: Math.min(occurredAt, now),
    origin: { ...origin, acceptedBy: by },
    body: asOf === undefined ? read.body : { ...read.body, asOf },
    ...(read.detail ? { detail: read.detail } : {}),
  } as unknown as NewEntry
}

function jsonOf(text: string): Record<string, unknown> | null {
  try {
    const value: unknown = JSON.parse(text)
    return typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : null
  } catch {
    return null
  }
}
