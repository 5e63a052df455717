import { dateOf, hhmmOf, instantOf } from '../../server/domain/plan/zone.ts'
import { HOUR, type Instant, MINUTE, SECOND } from '../../server/domain/time.ts'

/** Day time as it was told, and the wall clock at that moment. */
export type ClockAnchor = { dayAt: Instant; wallAt: number; speed: number }

/** Day time now, from the last told instant and the wall time gone by since. A wall clock set back stands still. */
export function dayNow(anchor: ClockAnchor, wall: number): Instant {
  return anchor.dayAt + anchor.speed * Math.max(0, wall - anchor.wallAt)
}

/** County time as HH:MM, on 24 hours: the form that the reasons' words have too. */
export const clockWords = hhmmOf

/** County time as HH:MM:SS. Zones differ by whole minutes, so the seconds are those of the instant. */
export function clockWordsToSecond(at: Instant, timeZone: string): string {
  return `${hhmmOf(at, timeZone)}:${String(Math.floor(at / SECOND) % 60).padStart(2, '0')}`
}

/** Clocks at the desk and on a wall differ: a time this far ahead of now still means now. The server's limit too. */
export const AHEAD = 5 * MINUTE

/**
 * The instant of a county time HH:MM (also H:MM): the latest that is not after `now` + AHEAD, on the plan's date
 * (YYYY-MM-DD) or the day after it, since closing and return go on past midnight. Where neither has come yet, the
 * one on the plan's date; null: not a time.
 */
export function instantOfField(text: string, date: string, timeZone: string, now: Instant): Instant | null {
  const found = /^([01]?\d|2[0-3]):([0-5]\d)$/.exec(text.trim())
  if (!found) return null
  const hhmm = `${found[1]!.padStart(2, '0')}:${found[2]}`
  const dayAfter = new Date(Date.parse(`${date}T00:00Z`) + 24 * HOUR).toISOString().slice(0, 10)
  const late = instantOf(dayAfter, hhmm, timeZone)
  return late <= now + AHEAD ? late : instantOf(date, hhmm, timeZone)
}

/**
 * The date that a typed time falls on, as "Wed, Nov 4"; null where it can be no other than the plan's: the day
 * itself, before its midnight.
 */
export function dateOfField(text: string, date: string, timeZone: string, now: Instant): string | null {
  const at = instantOfField(text, date, timeZone, now)
  if (at === null || (dateOf(now, timeZone) === date && dateOf(at, timeZone) === date)) return null
  return new Intl.DateTimeFormat('en-US', {
    timeZone,
    weekday: 'short',
    month: 'short',
    day: 'numeric',
  }).format(at)
}

/** A length of time in words: "40 s", "17 min", "3 h 11 min". Negative counts as none. */
export function lengthWords(milliseconds: number): string {
  if (milliseconds < MINUTE) return `${Math.max(0, Math.floor(milliseconds / SECOND))} s`
  const minutes = Math.floor(milliseconds / MINUTE)
  if (milliseconds < HOUR) return `${minutes} min`
  const rest = minutes % 60
  return rest === 0 ? `${Math.floor(minutes / 60)} h` : `${Math.floor(minutes / 60)} h ${rest} min`
}

/** How old something is: "just now" below a minute. */
export function ageWords(milliseconds: number): string {
  return milliseconds < MINUTE ? 'just now' : `${lengthWords(milliseconds)} ago`
}
