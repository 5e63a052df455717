import type { Entry } from '../log/entry.ts'
import { fromRfc3339, type Instant } from '../time.ts'
import type { Register, Stamp } from './state.ts'

/** Last writer wins by (asOf, source, number); a heartbeat has no number and stands before any that has one. */

/** < 0: a was before b; > 0: after; 0: the same writer at the same instant, both without a number. */
export function compareStamps(a: Stamp, b: Stamp): number {
  if (a.asOf !== b.asOf) return a.asOf - b.asOf
  if (a.source !== b.source) return a.source < b.source ? -1 : 1
  return (a.number ?? 0) - (b.number ?? 0)
}

/**
 * True where `write` replaces `standing`. A tie can only be two unnumbered words of one device, and those
 * arrive in its own order: the second one wins.
 */
export function later(write: Stamp, standing: Stamp | null | undefined): boolean {
  return !standing || compareStamps(write, standing) >= 0
}

/** A value as an entry says it, as of its own instant or of when the entry happened. */
export function registered<T>(entry: Entry, is: T, asOf: Instant = entry.occurredAt): Register<T> {
  return { is, asOf, source: entry.source, number: entry.number }
}

/** The instant an entry's body states, or when it happened. */
export function statedAt(entry: Entry, asOf: string | undefined): Instant {
  return asOf === undefined ? entry.occurredAt : fromRfc3339(asOf)
}

/** The register that stands after a write. */
export function newer<T>(standing: Register<T> | null, write: Register<T>): Register<T> {
  return later(write, standing) ? write : standing!
}

export function earliest(a: Instant | null | undefined, b: Instant): Instant {
  return a === null || a === undefined || b < a ? b : a
}

export function latest(a: Instant | null | undefined, b: Instant): Instant {
  return a === null || a === undefined || b > a ? b : a
}
