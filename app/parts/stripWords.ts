import type { BoardRow } from '../../server/domain/day/row.ts'
import type { PlanBrief } from '../../server/protocol/board.ts'
import { clockWords } from '../live/clock.ts'
import type { StripForecast } from './stripGeometry.ts'

const SPANS = {
  down: 'equipment down',
  slot: 'emergency slot in use',
  silent: 'silent',
  suspended: 'voting suspended',
}

/** The day strip in words, for those who don't see it. */
export function stripWords(
  row: BoardRow,
  plan: Pick<PlanBrief, 'timeZone'>,
  forecast?: StripForecast | null,
): string {
  const time = (at: number) => clockWords(at, plan.timeZone)
  const parts: string[] = []
  if (row.strip.setUpFrom !== null) parts.push(`setting up from ${time(row.strip.setUpFrom)}`)
  if (row.strip.notches.length > 0) parts.push(`${row.strip.notches.length} opening steps done`)
  parts.push(row.openedAt === null ? 'not open' : `open from ${time(row.openedAt)}`)
  for (const span of row.strip.spans)
    parts.push(`${SPANS[span.what]} ${time(span.from)} to ${span.to === null ? 'now' : time(span.to)}`)
  for (const [what, at] of row.strip.marks) parts.push(`${what} ${time(at)}`)
  if (row.checkedIn !== null) parts.push(`${row.checkedIn.is} checked in by ${time(row.checkedIn.asOf)}`)
  if (row.closedAt !== null) parts.push(`closed ${time(row.closedAt)}`)
  if (row.departedAt !== null) parts.push(`return left ${time(row.departedAt)}`)
  if (row.receivedAt !== null) parts.push(`return received ${time(row.receivedAt)}`)
  const ready = forecast?.ready
  if (ready && row.openedAt === null && ready.holding !== null)
    parts.push(`forecast to be ready between ${time(ready.by10)} and ${time(ready.by90)}`)
  const turnout = forecast?.turnout
  if (turnout && row.closedAt === null)
    parts.push(`${turnout.low80} to ${turnout.high80} forecast by closing`)
  return `Day strip: ${parts.join('; ')}.`
}
