import { HOUR, type Instant, MINUTE, SECOND } from '../../server/domain/time.ts'

/** Day time as it was told, and the wall clock at that moment. */
export type ClockAnchor = { dayAt: Instant; wallAt: number; speed: number }

/** Day time now, from the last told instant and the wall time gone by since. A wall clock set back stands still. */
export function dayNow(anchor: ClockAnchor, wall: number): Instant {
  return anchor.dayAt + anchor.speed * Math.max(0, wall - anchor.wallAt)
}

const formats = new Map<string, Intl.DateTimeFormat>()

function partsOf(at: Instant, timeZone: string): { h: number; m: number; s: number } {
  let format = formats.get(timeZone)
  if (!format) {
    format = new Intl.DateTimeFormat('en-US', {
      timeZone,
      hour: 'numeric',
      minute: 'numeric',
      second: 'numeric',
      hourCycle: 'h23',
    })
    formats.set(timeZone, format)
  }
  const found = { h: 0, m: 0, s: 0 }
  for (const part of format.formatToParts(at)) {
    if (part.type === 'hour') found.h = Number(part.value)
    if (part.type === 'minute') found.m = Number(part.value)
    if (part.type === 'second') found.s = Number(part.value)
  }
  return found
}

const two = (n: number) => String(n).padStart(2, '0')

/** County time as H:MM, on 24 hours. */
export function clockWords(at: Instant, timeZone: string): string {
  const { h, m } = partsOf(at, timeZone)
  return `${h}:${two(m)}`
}

/** County time as H:MM:SS, on 24 hours. */
export function clockWordsToSecond(at: Instant, timeZone: string): string {
  const { h, m, s } = partsOf(at, timeZone)
  return `${h}:${two(m)}:${two(s)}`
}

/** County time as HH:MM, the form of a time field. */
export function clockField(at: Instant, timeZone: string): string {
  const { h, m } = partsOf(at, timeZone)
  return `${two(h)}:${two(m)}`
}

/**
 * The instant of a county time HH:MM (also H:MM) on the day whose local midnight is given; null: not a time.
 * On a day on which the clocks change the local time is meant.
 */
export function instantOfField(text: string, midnight: Instant, timeZone: string): Instant | null {
  const found = /^([01]?\d|2[0-3]):([0-5]\d)$/.exec(text.trim())
  if (!found) return null
  const minutes = Number(found[1]) * 60 + Number(found[2])
  const straight = midnight + minutes * MINUTE
  const { h, m } = partsOf(straight, timeZone)
  return straight + (minutes - (h * 60 + m)) * MINUTE
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
