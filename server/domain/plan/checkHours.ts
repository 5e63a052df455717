import { type Fault, shown, valueAt } from './checkFault.ts'
import type { Row } from './csv.ts'
import { tables } from './csv.ts'
import { hhmm } from './plan.ts'
import type { Policy } from './policy.ts'
import { isTimeZone } from './zone.ts'

const inJson = (column: string, found: unknown, message: string): Fault => ({
  file: 'plan.json',
  line: null,
  column,
  found: shown(found),
  message,
})

const isTime = (value: unknown): value is string => hhmm.safeParse(value).success

/** Hours of the day in order, and a time zone that is known. HH:MM sorts as text. */
export function hoursFaults(json: unknown): Fault[] {
  const faults: Fault[] = []
  const names = ['report', 'open', 'close', 'returnBy']
  for (let i = 1; i < names.length; i++) {
    const before = valueAt(json, ['hours', names[i - 1]!])
    const after = valueAt(json, ['hours', names[i]!])
    if (isTime(before) && isTime(after) && after <= before)
      faults.push(
        inJson(`hours.${names[i]}`, after, `a time later on the same day than ${names[i - 1]} (${before})`),
      )
  }
  const zone = valueAt(json, ['timeZone'])
  if (typeof zone === 'string' && zone !== '' && !isTimeZone(zone))
    faults.push(inJson('timeZone', zone, 'a time zone of the IANA database, such as America/New_York'))
  return faults
}

/** Thresholds that contradict each other. */
export function policyFaults(policy: Policy): Fault[] {
  const faults: Fault[] = []
  const { periodSeconds, lateAfterSeconds, silentAfterSeconds } = policy.heartbeat
  if (lateAfterSeconds <= periodSeconds)
    faults.push(
      inJson(
        'policy.heartbeat.lateAfterSeconds',
        lateAfterSeconds,
        `more than periodSeconds (${periodSeconds})`,
      ),
    )
  if (silentAfterSeconds <= lateAfterSeconds)
    faults.push(
      inJson(
        'policy.heartbeat.silentAfterSeconds',
        silentAfterSeconds,
        `more than lateAfterSeconds (${lateAfterSeconds})`,
      ),
    )
  if (policy.behindOpeningEndMinutes > policy.behindOpeningMinutes)
    faults.push(
      inJson(
        'policy.behindOpeningEndMinutes',
        policy.behindOpeningEndMinutes,
        `at most behindOpeningMinutes (${policy.behindOpeningMinutes})`,
      ),
    )
  if (policy.longLineEndMinutes > policy.longLineMinutes)
    faults.push(
      inJson(
        'policy.longLineEndMinutes',
        policy.longLineEndMinutes,
        `at most longLineMinutes (${policy.longLineMinutes})`,
      ),
    )
  return faults
}

/** Sum of the shares may differ from 1 by rounding. */
const SHARE_TOLERANCE = 0.005

/** Intervals that run forwards, lie within the legal hours, don't overlap, and whose shares sum to 1. */
export function profileFaults(rows: readonly Row[], json: unknown): Fault[] {
  const { file } = tables.profile
  const faults: Fault[] = []
  const fault = (line: number | null, column: string, found: unknown, message: string) =>
    faults.push({ file, line, column, found: shown(found), message })
  const opens = valueAt(json, ['hours', 'open'])
  const closes = valueAt(json, ['hours', 'close'])
  const good: Array<{ line: number; from: string; to: string }> = []
  for (const { line, value } of rows) {
    const { from, to } = value
    if (!isTime(from) || !isTime(to)) continue
    if (to <= from) {
      fault(line, 'to', to, `a time after from (${from})`)
      continue
    }
    if (isTime(opens) && from < opens) fault(line, 'from', from, `not before the polls open (${opens})`)
    if (isTime(closes) && to > closes) fault(line, 'to', to, `not after the polls close (${closes})`)
    good.push({ line, from, to })
  }
  good.sort((a, b) => (a.from < b.from ? -1 : a.from > b.from ? 1 : a.line - b.line))
  let last = good[0]
  for (const row of good.slice(1)) {
    if (last && row.from < last.to)
      fault(
        row.line,
        'from',
        row.from,
        `not before ${last.to}, where line ${last.line} ends: the intervals overlap`,
      )
    if (!last || row.to > last.to) last = row
  }
  const shares = rows.map(r => r.value.share)
  if (rows.length > 0 && shares.every(s => typeof s === 'number')) {
    const sum = shares.reduce((a, b) => a + b, 0)
    if (Math.abs(sum - 1) > SHARE_TOLERANCE)
      fault(null, 'share', sum.toFixed(4), 'shares that sum to 1 (within 0.005)')
  }
  return faults
}
