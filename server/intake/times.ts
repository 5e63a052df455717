import { fromRfc3339, type Instant, toRfc3339 } from '../domain/time.ts'

/**
 * When a report happened, in day time, whatever the device's clock says (P7): only differences of the device's
 * own clock are used, so a wrong clock doesn't matter, only its rate.
 *
 * happened = recordedAt − speed × max(0, sentAt − at), never before the day opened and never after recordedAt.
 * Where the speed of a practice day has changed meanwhile, each stretch counts by the speed that it had.
 */
export type Sending = {
  /** Device clock when it sent, ms; null: it did not say, so nothing can be measured. */
  sentAt: number | null
  /** Milliseconds of the day in the last so many of the wall clock, as of the receipt. */
  elapsed(agoMs: number): number
  openedAt: Instant
}

export function happenedAt(at: string, recordedAt: Instant, sending: Sending): Instant {
  if (sending.sentAt === null) return recordedAt
  const ago = sending.elapsed(Math.max(0, sending.sentAt - fromRfc3339(at)))
  return Math.max(Math.min(sending.openedAt, recordedAt), Math.round(recordedAt - ago))
}

/** The same as RFC 3339 in UTC: for times that stand inside a body. */
export function happenedText(at: string, recordedAt: Instant, sending: Sending): string {
  return toRfc3339(happenedAt(at, recordedAt, sending))
}

/** Device clock minus server clock in whole seconds; 0 where it is under a minute or unknown. */
export function skewSeconds(sentAt: number | null, wall: number): number {
  if (sentAt === null) return 0
  const skew = Math.round((sentAt - wall) / 1_000)
  return Math.abs(skew) >= 60 ? skew : 0
}
