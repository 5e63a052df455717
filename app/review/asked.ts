import type { BoardForecasts } from '../../server/domain/forecast/onBoard.ts'
import { type Difference, differencesOf } from '../../server/domain/review/differences.ts'
import type { Instant } from '../../server/domain/time.ts'
import type { Snapshot } from '../../server/protocol/board.ts'
import type { DayMarks, ReviewDays, View } from '../../server/protocol/review.ts'
import type { Moment } from './moments.ts'

/** What the review page asks of the server. Each throws an Error whose message may be shown. */

export type Picture = {
  snapshot: Snapshot
  view: View
  /** What was not known then; null where that is not the question. */
  differences: Difference[] | null
}

export async function askDays(): Promise<ReviewDays['days']> {
  return (await get<ReviewDays>('/api/v1/review')).days
}

/** The forecasts that stood at an entry; null: there were none yet. */
export async function askForecasts(day: string, position: number): Promise<BoardForecasts | null> {
  const answer = await fetch(`/api/v1/days/${encodeURIComponent(day)}/forecasts?position=${position}`)
  return answer.ok ? ((await answer.json()) as BoardForecasts) : null
}

export function askMarks(day: string): Promise<DayMarks> {
  return get<DayMarks>(`/api/v1/days/${encodeURIComponent(day)}/marks`)
}

/** As happened is compared with as known at the same instant, so both are asked for. */
export async function askPicture(day: string, moment: Moment, view: View): Promise<Picture> {
  if (view === 'known') return { snapshot: await askState(day, moment, view), view, differences: null }
  const at: Instant = 'at' in moment ? moment.at : (await askState(day, moment, 'known')).now
  const [happened, known] = await Promise.all([
    askState(day, { at }, 'happened'),
    askState(day, { at }, 'known'),
  ])
  return { snapshot: happened, view, differences: differencesOf(known.rows, happened.rows) }
}

function askState(day: string, moment: Moment, view: View): Promise<Snapshot> {
  const query = new URLSearchParams(
    'at' in moment
      ? { view, at: new Date(moment.at).toISOString() }
      : { view, position: String(moment.position) },
  )
  return get<Snapshot>(`/api/v1/days/${encodeURIComponent(day)}/state?${query}`)
}

async function get<T>(path: string): Promise<T> {
  const answer = await fetch(path).catch(() => {
    throw new Error('The server could not be reached.')
  })
  if (answer.ok) return (await answer.json()) as T
  if (answer.status === 401) throw new Error('The session has ended: sign in again.')
  const { problems } = (await answer.json().catch(() => ({}))) as { problems?: Array<{ message: string }> }
  throw new Error(problems?.[0]?.message ?? `The server answered ${answer.status}.`)
}
