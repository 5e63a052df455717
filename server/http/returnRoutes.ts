import { type ReturningDay, returnsAnswer } from '../outputs/returnAnswers.ts'
import { refuse } from './answer.ts'
import type { Route } from './routes.ts'

/** Codes named in one request; more are cut off by the path's own limit long before. */
const MOST_CODES = 200

/** The returns of a day, for who receives them and for the desk. */
export function returnRoutes(deps: {
  /** Running, or closed and readable. */
  reach(day: string): Promise<ReturningDay | null>
  nameOf(person: string): string
}): Route[] {
  return [
    {
      method: 'GET',
      pattern: '/api/v1/days/:day/returns',
      who: ['receiving', 'desk', 'supervisor'],
      handle: async ({ params, query }) => {
        const day = await deps.reach(params.day ?? '')
        if (!day) return refuse(404, 'There is no such running day.', { path: 'day' })
        const only = query.getAll('precinct')
        if (only.length > MOST_CODES)
          return refuse(400, `At most ${MOST_CODES} precincts; leave the name out for all.`, {
            path: 'precinct',
          })
        const unknown = only.find(code => !day.index.precincts.has(code))
        if (unknown !== undefined)
          return refuse(404, 'There is no such precinct in this day’s plan.', { path: 'precinct' })
        return { status: 200, json: returnsAnswer(day, deps.nameOf, only) }
      },
    },
  ]
}
