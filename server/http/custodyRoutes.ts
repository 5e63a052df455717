import { type CustodyOf, custodyAnswer } from '../outputs/custodyAnswer.ts'
import { refuse } from './answer.ts'
import type { Route } from './routes.ts'

/** Chains of custody, for those who ring about them. Seals' numbers, expected and found, stand in every one. */
export function custodyRoutes(deps: {
  /** Running, or closed and readable. */
  reach(day: string): Promise<CustodyOf | null>
}): Route[] {
  return [
    {
      method: 'GET',
      pattern: '/api/v1/days/:day/precincts/:code/custody',
      who: ['desk', 'supervisor'],
      handle: async ({ params }) => {
        const day = await deps.reach(params.day ?? '')
        if (!day) return refuse(404, 'There is no such running day.', { path: 'day' })
        const json = custodyAnswer(day, params.code ?? '')
        return json
          ? { status: 200, json }
          : refuse(404, 'There is no such precinct in this day’s plan.', { path: 'code' })
      },
    },
  ]
}
