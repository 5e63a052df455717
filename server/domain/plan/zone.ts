import { HOUR, type Instant, MINUTE } from '../time.ts'

/**
 * Local wall time ↔ instant for an IANA time zone, from the platform's own zone data.
 *
 * Two choices, kept by tests:
 * - a wall time that a change of the clock skips moves on by the length of the gap (2:30 becomes 3:30);
 * - a wall time that happens twice is the first of the two.
 * Zone offsets are taken in whole minutes, which holds for every zone since 1972.
 */

type WallClock = Intl.DateTimeFormat
const clocks = new Map<string, WallClock>()

function clockOf(timeZone: string): WallClock {
  let clock = clocks.get(timeZone)
  if (!clock) {
    clock = new Intl.DateTimeFormat('en-US', {
      timeZone,
      hourCycle: 'h23',
      year: 'numeric',
      month: '2-digit',
      day: '2-digit',
      hour: '2-digit',
      minute: '2-digit',
    })
    clocks.set(timeZone, clock)
  }
  return clock
}

/** True for a name that the platform knows as a time zone. */
export function isTimeZone(timeZone: string): boolean {
  try {
    clockOf(timeZone)
    return true
  } catch {
    return false
  }
}

/** The wall clock's reading as if it were UTC, to the minute. */
function wallOf(at: Instant, timeZone: string): number {
  let year = 0
  let month = 0
  let day = 0
  let hour = 0
  let minute = 0
  for (const part of clockOf(timeZone).formatToParts(at)) {
    if (part.type === 'year') year = Number(part.value)
    else if (part.type === 'month') month = Number(part.value)
    else if (part.type === 'day') day = Number(part.value)
    else if (part.type === 'hour') hour = Number(part.value)
    else if (part.type === 'minute') minute = Number(part.value)
  }
  return Date.UTC(year, month - 1, day, hour, minute)
}

/** Wall clock minus UTC at an instant, in milliseconds. */
function offsetAt(at: Instant, timeZone: string): number {
  return wallOf(at, timeZone) - Math.floor(at / MINUTE) * MINUTE
}

/**
 * Instant of a local date (`YYYY-MM-DD`) and time (`HH:MM`). A skipped time moves on by the gap; a doubled one
 * is the first. NaN where date or time can't be read; throws RangeError for an unknown zone.
 */
export function instantOf(date: string, hhmm: string, timeZone: string): Instant {
  const wall = Date.parse(`${date}T${hhmm}:00Z`)
  if (Number.isNaN(wall)) return Number.NaN
  const before = offsetAt(wall - 24 * HOUR, timeZone)
  const after = offsetAt(wall + 24 * HOUR, timeZone)
  if (before === after) return wall - before
  const byBefore = wall - before
  if (offsetAt(byBefore, timeZone) === before) return byBefore
  const byAfter = wall - after
  return offsetAt(byAfter, timeZone) === after ? byAfter : byBefore
}

/** The first instant of a local date: its midnight, or where a change of the clock skips that, the change. */
export function midnightOf(date: string, timeZone: string): Instant {
  return instantOf(date, '00:00', timeZone)
}

/** Local wall time of an instant as `HH:MM`, cut to the minute. */
export function hhmmOf(at: Instant, timeZone: string): string {
  return new Date(wallOf(at, timeZone)).toISOString().slice(11, 16)
}

/** Local date of an instant as `YYYY-MM-DD`. */
export function dateOf(at: Instant, timeZone: string): string {
  return new Date(wallOf(at, timeZone)).toISOString().slice(0, 10)
}
