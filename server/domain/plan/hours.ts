import { HOUR, type Instant } from '../time.ts'
import { instantOf } from './zone.ts'

/**
 * The hours of an election day may run past midnight: a closing time or a return that is earlier than what
 * comes before it is meant for the next day. The day has 30 hours, so up to 06:00 of the next.
 */

/** Minutes of the clock's day. */
export const DAY_MINUTES = 24 * 60
/** End of the day in minutes since its local midnight. */
export const LAST_MINUTE = 30 * 60

/** Minutes of a wall time (HH:MM) since midnight. */
export function minutesOf(hhmm: string): number {
  return Number(hhmm.slice(0, 2)) * 60 + Number(hhmm.slice(3, 5))
}

/** Minutes since the day's midnight of a time that comes at or after `before`: on the next day where it must. */
export function minutesAfter(before: number, hhmm: string): number {
  let minutes = minutesOf(hhmm)
  while (minutes < before) minutes += DAY_MINUTES
  return minutes
}

/** A local time on the day, or on the next one where it would lie before `earliest` (a return by 01:00). */
export function instantAfter(earliest: Instant, date: string, hhmm: string, timeZone: string): Instant {
  const at = instantOf(date, hhmm, timeZone)
  if (at >= earliest) return at
  const next = new Date(Date.parse(`${date}T00:00:00Z`) + 24 * HOUR).toISOString().slice(0, 10)
  return instantOf(next, hhmm, timeZone)
}
