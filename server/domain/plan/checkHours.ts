import { type Row, tables } from './csv.ts'
import type { FaultList } from './faultList.ts'
import { DAY_MINUTES, LAST_MINUTE, minutesAfter, minutesOf } from './hours.ts'
import { hhmm } from './plan.ts'
import { isTimeZone } from './zone.ts'

const isTime = (value: unknown): value is string => hhmm.safeParse(value).success

/** Polls that are open longer are a slip: 06:00 for 18:00. No state's hours come near (common practice). */
const LONGEST_POLLS = 20 * 60

/** Names the field of plan.json that a fault is of. */
type TellJson = (path: readonly string[], found: unknown, message: string) => void

/**
 * Hours of the day in order, and a time zone that is known. Closing time and returnBy may be of the next day,
 * up to 06:00.
 */
export function hoursFaults(json: { hours?: unknown; timeZone?: unknown }, tell: TellJson): void {
  const hours = typeof json.hours === 'object' && json.hours !== null ? json.hours : {}
  const { report, open, close, returnBy } = hours as Record<string, unknown>
  if (isTime(report) && isTime(open) && open <= report)
    tell(['hours', 'open'], open, `a time later on the same day than report (${report})`)
  const opens = isTime(open) ? minutesOf(open) : null
  let closes: number | null = null
  if (opens !== null && isTime(close)) {
    closes = minutesAfter(opens, close)
    if (closes === opens || closes > LAST_MINUTE || closes - opens > LONGEST_POLLS) {
      tell(
        ['hours', 'close'],
        close,
        `a time later than open (${open}), at most 20 hours; up to 06:00 may be of the next day`,
      )
      closes = null
    }
  }
  if (closes !== null && isTime(returnBy)) {
    const returned = minutesAfter(closes, returnBy)
    if (returned === closes || returned > LAST_MINUTE)
      tell(
        ['hours', 'returnBy'],
        returnBy,
        `a time later than close (${String(close)}); up to 06:00 may be of the next day`,
      )
  }
  const zone = json.timeZone
  if (typeof zone === 'string' && zone !== '' && !isTimeZone(zone))
    tell(['timeZone'], zone, 'a time zone of the IANA database, such as America/New_York')
}

/** Sum of the shares may differ from 1 by rounding. */
const SHARE_TOLERANCE = 0.005

/** Intervals that run forwards, lie within the legal hours, don't overlap, and whose shares sum to 1. */
export function profileFaults(
  rows: readonly Row[],
  headerLine: number,
  hours: unknown,
  faults: FaultList,
): void {
  const { file } = tables.profile
  const { open, close } = (typeof hours === 'object' && hours !== null ? hours : {}) as Record<
    string,
    unknown
  >
  const opens = isTime(open) ? minutesOf(open) : null
  const closes = isTime(close) ? (opens === null ? minutesOf(close) : minutesAfter(opens, close)) : null
  const overnight = closes !== null && closes > DAY_MINUTES
  // Only where the polls close after midnight may an interval's times be of the next day.
  const timed = (time: string, latest: number) => {
    const minutes = minutesOf(time)
    const next = minutes + DAY_MINUTES
    return overnight && opens !== null && minutes < opens && next <= latest ? next : minutes
  }
  const good: Array<{ line: number; from: number; to: number; fromText: string; toText: string }> = []
  for (const { line, value, raw } of rows) {
    const { from, to } = value
    if (!isTime(from) || !isTime(to)) continue
    const starts = timed(from, closes ?? 0)
    const ends = timed(to, Number.POSITIVE_INFINITY)
    if (ends <= starts) {
      faults.add(file, line, 'to', raw.to, `a time after from (${from})`)
      continue
    }
    if (opens !== null && starts < opens)
      faults.add(file, line, 'from', raw.from, `not before the polls open (${String(open)})`)
    if (closes !== null && ends > closes)
      faults.add(file, line, 'to', raw.to, `not after the polls close (${String(close)})`)
    good.push({ line, from: starts, to: ends, fromText: raw.from ?? from, toText: to })
  }
  good.sort((a, b) => a.from - b.from || a.line - b.line)
  let last = good[0]
  for (const row of good.slice(1)) {
    if (last && row.from < last.to)
      faults.add(
        file,
        row.line,
        'from',
        row.fromText,
        `not before ${last.toText}, where line ${last.line} ends: the intervals overlap`,
      )
    if (!last || row.to > last.to) last = row
  }
  const shares = rows.map(r => r.value.share)
  if (rows.length > 0 && shares.every(s => typeof s === 'number')) {
    const sum = shares.reduce((a, b) => a + b, 0)
    if (Math.abs(sum - 1) > SHARE_TOLERANCE)
      faults.add(file, headerLine, 'share', sum.toFixed(4), 'shares that sum to 1 (within 0.005)')
  }
}
