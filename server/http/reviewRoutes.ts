import { fromRfc3339 } from '../domain/time.ts'
import type { Answered, Replay } from '../live/replay.ts'
import { snapshotFor } from '../outputs/snapshotFor.ts'
import { type ReviewDays, stateQuery } from '../protocol/review.ts'
import type { Role } from '../protocol/roles.ts'
import { type Answer, refuse } from './answer.ts'
import type { Route } from './routes.ts'

const reviewers: readonly Role[] = ['supervisor', 'admin']
const RETRY_MS = 1_000

/** What the review page asks: the days that have a record, what stands on the slider, the board at an instant. */
export function reviewRoutes(deps: {
  replay: Pick<Replay, 'picture' | 'marks'>
  days(): Promise<ReviewDays['days']>
}): Route[] {
  return [
    {
      method: 'GET',
      pattern: '/api/v1/review',
      who: reviewers,
      handle: async () => ({ status: 200, json: { days: await deps.days() } satisfies ReviewDays }),
    },
    {
      method: 'GET',
      pattern: '/api/v1/days/:day/marks',
      who: reviewers,
      handle: async asked => answerOf(await deps.replay.marks(asked.params.day ?? '')),
    },
    {
      method: 'GET',
      pattern: '/api/v1/days/:day/state',
      who: reviewers,
      handle: async asked => {
        const asks = stateQuery.safeParse(Object.fromEntries(asked.query))
        if (!asks.success) {
          const path = String(asks.error.issues[0]?.path[0] ?? '')
          return refuse(400, stateProblems[path] ?? 'at, position and view are what may be asked', { path })
        }
        const { at, position, view } = asks.data
        if (at !== undefined && position !== undefined)
          return refuse(400, 'ask for an instant or for a position, not for both', { path: 'position' })
        const instant = at === undefined ? undefined : fromRfc3339(at)
        const picture = await deps.replay.picture(asked.params.day ?? '', { view, at: instant, position })
        if (!picture.ok || !asked.caller || !('person' in asked.caller)) return answerOf(picture)
        return answerOf({ ...picture, value: snapshotFor(asked.caller.person.role, picture.value) })
      },
    },
  ]
}

const stateProblems: Record<string, string> = {
  at: 'an instant as RFC 3339, such as 2026-11-03T14:41:00Z',
  position: 'a whole number from 1',
  view: 'known or happened',
}

/** As HTTP has it: unknown 404, invalid 400, busy 503. */
export function answerOf<T>(answered: Answered<T>): Answer {
  if (answered.ok) return { status: 200, json: answered.value }
  const { is, path, message } = answered
  if (is === 'busy') return refuse(503, message, { path, retryAfter: RETRY_MS })
  return refuse(is === 'unknown' ? 404 : 400, message, { path })
}
