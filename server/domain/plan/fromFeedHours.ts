import type { FeedHours, FeedSchedule } from './fromFeedShape.ts'

/** Hours of a feed, read as local wall time. */

/** Minutes since local midnight, and the offset from UTC that the feed writes; null where it writes none. */
type Time = { minutes: number; offset: number | null }

function timeOf(text: string): Time | null {
  const found = /^(\d\d):([0-5]\d)(?::[0-5]\d(?:\.\d+)?)?(Z|[+-]\d\d:[0-5]\d)?$/.exec(text.trim())
  if (!found) return null
  const minutes = Number(found[1]) * 60 + Number(found[2])
  if (minutes > 24 * 60) return null
  const zone = found[3]
  if (zone === undefined) return { minutes, offset: null }
  if (zone === 'Z') return { minutes, offset: 0 }
  const size = Number(zone.slice(1, 3)) * 60 + Number(zone.slice(4))
  return { minutes, offset: zone[0] === '-' ? -size : size }
}

/** The schedule that names the date, else one without any date; null: it has none for this date. */
function scheduleOn(hours: FeedHours, date: string): FeedSchedule | null {
  const covers = (s: FeedSchedule) =>
    s.hours.length > 0 && (s.from !== '' || s.to !== '') && (s.from || date) <= date && date <= (s.to || date)
  return (
    hours.schedules.find(covers) ??
    hours.schedules.find(s => s.hours.length > 0 && s.from === '' && s.to === '') ??
    null
  )
}

/** True where a schedule with dates includes the date: a site that is open on election day too. */
export function namesDate(hours: FeedHours | undefined, date: string): boolean {
  const schedule = hours && scheduleOn(hours, date)
  return !!schedule && (schedule.from !== '' || schedule.to !== '')
}

/** Offsets in minutes that the hours of a date carry. */
export function offsetsOn(hours: FeedHours, date: string): number[] {
  const times = (scheduleOn(hours, date)?.hours ?? []).flatMap(h => [timeOf(h.start), timeOf(h.end)])
  return times.flatMap(t => (t?.offset == null ? [] : [t.offset]))
}

export type ReadHours = {
  /** HH:MM, local. */
  open: string
  close: string
  /** The offset is not the zone's on that date. `wall`: the time was taken as it is written; `converted`: as an instant. */
  wrongOffset: null | 'wall' | 'converted'
  /** Several spans were joined into one. */
  joined: boolean
}

/** Polls that open from 4:00 to 12:00 and close from 16:00 to 22:59; others are not believed (our assumption). */
const OPENS = [4 * 60, 12 * 60] as const
const CLOSES = [16 * 60, 22 * 60 + 59] as const

function hhmm(minutes: number): string {
  return `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`
}

/**
 * Opening and closing time on a date. Where the feed's offset is not `zoneOffset` (minutes, the county's on that
 * date), the time is read as it is written if that gives hours at which polls may be open, else as an instant.
 * null: no hours for this date, or none that could be a polling place's.
 */
export function hoursOn(hours: FeedHours, date: string, zoneOffset: number): ReadHours | null {
  const spans = (scheduleOn(hours, date)?.hours ?? []).flatMap(({ start, end }) => {
    const [from, to] = [timeOf(start), timeOf(end)]
    return from && to ? [{ from, to }] : []
  })
  if (spans.length === 0) return null
  const times = spans.flatMap(s => [s.from, s.to])
  const wrong = times.some(t => t.offset !== null && t.offset !== zoneOffset)
  const read = (minutesOf: (t: Time) => number) => {
    const open = Math.min(...spans.map(s => minutesOf(s.from)))
    const close = Math.max(...spans.map(s => minutesOf(s.to)))
    const may = open >= OPENS[0] && open <= OPENS[1] && close >= CLOSES[0] && close <= CLOSES[1]
    return may ? { open: hhmm(open), close: hhmm(close) } : null
  }
  const DAY = 24 * 60
  const wall = read(t => t.minutes)
  const instant = read(t => (t.minutes - (t.offset ?? zoneOffset) + zoneOffset + 2 * DAY) % DAY)
  const joined = spans.length > 1
  if (wall) return { ...wall, wrongOffset: wrong ? 'wall' : null, joined }
  return instant && wrong ? { ...instant, wrongOffset: 'converted', joined } : null
}

/** HH:MM some minutes later, within the same day. */
export function later(time: string, minutes: number): string {
  const [h = 0, m = 0] = time.split(':').map(Number)
  return hhmm(Math.max(0, Math.min(23 * 60 + 59, h * 60 + m + minutes)))
}

/** Minutes from one HH:MM to another. */
export function minutesBetween(from: string, to: string): number {
  const of = (time: string) => Number(time.slice(0, 2)) * 60 + Number(time.slice(3))
  return of(to) - of(from)
}
