import { dateOf, hhmmOf, instantOf } from '../../server/domain/plan/zone.ts'
import { HOUR, type Instant, MINUTE } from '../../server/domain/time.ts'
import type { DayMarks, View } from '../../server/protocol/review.ts'

/** Instants of a day that is reviewed: dates, steps, words, and the page's own address. Pure. */

/** The picture that is wished for: an instant, or right after an entry. */
export type Moment = { at: Instant } | { position: number }

export function clamped(at: Instant, { first, last }: Pick<DayMarks, 'first' | 'last'>): Instant {
  return Math.min(last, Math.max(first, at))
}

/** The next or the previous reason of the tiers stop and now, from an instant; null: there is none. */
export function reasonFrom(marks: Pick<DayMarks, 'reasons'>, at: Instant, by: 1 | -1): Instant | null {
  const instants = marks.reasons.map(r => r.at)
  if (by === 1) return instants.find(i => i > at) ?? null
  return instants.findLast(i => i < at) ?? null
}

/** Dates of the county that the day's record reaches over, as YYYY-MM-DD: more than one where it passes midnight. */
export function datesOf({ first, last, timeZone }: Pick<DayMarks, 'first' | 'last' | 'timeZone'>): string[] {
  const dates: string[] = []
  for (let at = first; ; at += 12 * HOUR) {
    const date = dateOf(Math.min(at, last), timeZone)
    if (dates.at(-1) !== date) dates.push(date)
    if (at >= last) return dates
  }
}

/** The instant of a typed time on a date; null: not a time. H:MM is read too. */
export function typedInstant(date: string, text: string, timeZone: string): Instant | null {
  const found = /^([01]?\d|2[0-3]):([0-5]\d)$/.exec(text.trim())
  return found ? instantOf(date, `${found[1]!.padStart(2, '0')}:${found[2]}`, timeZone) : null
}

/** "Nov 3", or with the weekday "Tue, Nov 3". */
export function dateWords(at: Instant, timeZone: string, weekday = false): string {
  const options: Intl.DateTimeFormatOptions = { timeZone, month: 'short', day: 'numeric' }
  return new Intl.DateTimeFormat('en-US', weekday ? { ...options, weekday: 'short' } : options).format(at)
}

/** What the picture is, in a sentence that nobody takes for the live board. */
export function bandWords(view: View, at: Instant, timeZone: string): string {
  const when = `${hhmmOf(at, timeZone)} on ${dateWords(at, timeZone)}`
  return view === 'known'
    ? `Review: the county as the office knew it at ${when}.`
    : `Review: the county as it really stood at ${when}, by all that was told since.`
}

/** Whole hours of the county within the record, at most a dozen or so. */
export function hoursOf({ first, last }: Pick<DayMarks, 'first' | 'last'>, midnight: Instant): Instant[] {
  const step = Math.max(1, Math.ceil((last - first) / HOUR / 12)) * HOUR
  const hours: Instant[] = []
  for (let at = midnight + Math.ceil((first - midnight) / step) * step; at <= last; at += step) hours.push(at)
  return hours
}

export type Address = { day: string | null; at: Instant | null; view: View }

/** What the address of the page asks for; what can't be read counts as not said. */
export function addressOf(search: string): Address {
  const asked = new URLSearchParams(search)
  const at = Date.parse(asked.get('at') ?? '')
  const day = asked.get('day')
  return {
    day: day === null || day === '' ? null : day,
    at: Number.isNaN(at) ? null : at,
    view: asked.get('view') === 'happened' ? 'happened' : 'known',
  }
}

/** The address that shows the same picture again. */
export function addressFor(day: string, at: Instant, view: View): string {
  const query = new URLSearchParams({ day, at: new Date(at).toISOString(), view })
  return `/review?${query.toString().replaceAll('%3A', ':')}`
}

/** Steps of the buttons. */
export const STEPS = [1, 5, 15].map(minutes => ({ minutes, by: minutes * MINUTE }))
