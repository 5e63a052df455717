import type { DayLogReader } from '../domain/log/dayLog.ts'
import { type NoticedDay, noticeAnswer, noticesAnswer } from '../outputs/noticeAnswers.ts'
import { refuse } from './answer.ts'
import type { Route } from './routes.ts'

/** The desk's notices of a day: their words are the desk's. */
export function noticeRoutes(deps: {
  log: Pick<DayLogReader, 'read'>
  /** Running, or closed and readable. */
  reach(day: string): Promise<NoticedDay | null>
  nameOf(person: string): string
}): Route[] {
  const noDay = () => refuse(404, 'There is no such running day.', { path: 'day' })
  return [
    {
      method: 'GET',
      pattern: '/api/v1/days/:day/notices',
      who: ['desk', 'supervisor'],
      handle: async ({ params }) => {
        const day = await deps.reach(params.day ?? '')
        return day ? { status: 200, json: await noticesAnswer(day, deps) } : noDay()
      },
    },
    {
      method: 'GET',
      pattern: '/api/v1/days/:day/notices/:position',
      who: ['desk', 'supervisor'],
      handle: async ({ params }) => {
        const day = await deps.reach(params.day ?? '')
        if (!day) return noDay()
        const json = await noticeAnswer(day, deps, Number(params.position))
        return json
          ? { status: 200, json }
          : refuse(404, 'There is no such notice on this day.', { path: 'position' })
      },
    },
  ]
}
