import { hhmmOf, instantOf } from '../../server/domain/plan/zone.ts'
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

/** The instant of a county time HH:MM (also H:MM) on a date YYYY-MM-DD; null: not a time. */
export function instantOfField(text: string, date: string, timeZone: string): Instant | null {
  const found = /^([01]?\d|2[0-3]):([0-5]\d)$/.exec(text.trim())
  return found ? instantOf(date, `${found[1]!.padStart(2, '0')}:${found[2]}`, timeZone) : null
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
