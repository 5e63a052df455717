import { z } from 'zod'
import type { Person } from '../access/access.ts'
import type { DayLogReader } from '../domain/log/dayLog.ts'
import { fromRfc3339 } from '../domain/time.ts'
import type { Replay } from '../live/replay.ts'
import {
  type AnsweredDay,
  boardAnswer,
  callsAnswer,
  logAnswer,
  phonesAnswer,
  precinctAnswer,
} from '../outputs/dayAnswers.ts'
import { errandsAnswer } from '../outputs/errandsAnswer.ts'
import { withoutWords } from '../outputs/withoutWords.ts'
import type { PrecinctDetail } from '../protocol/board.ts'
import type { CommandAnswer } from '../protocol/command.ts'
import { untilQuery } from '../protocol/review.ts'
import { commandRoles, pageRoles, roleSeesContacts, roles } from '../protocol/roles.ts'
import { type Answer, refuse } from './answer.ts'
import { answerOf } from './reviewRoutes.ts'
import type { Asked, Route } from './routes.ts'

/** A receiving station is told of returns: calls and what each precinct said of its seals are not for its clerks. */
const onBoards = pageRoles['/desk']

/** The API that people's pages and programs read: days, board, calls, log, one precinct; and commands. */
export function dayRoutes(deps: {
  log: DayLogReader
  /** Running, or closed and readable. */
  reach(day: string): Promise<AnsweredDay | null>
  days(): Promise<
    Array<{ id: string; county: string; name: string; kind: string; date: string; running: boolean }>
  >
  /** Of any day, run or not: what was recorded by an instant. */
  until: Replay['until']
  nameOf(person: string): string
  devices(
    day: string,
  ): Promise<Array<{ id: string; precinct: string; label: string; revokedAt: number | null }>>
  /** Whether there is such a day, run or not. */
  known(day: string): Promise<boolean>
  refused(day: string, limit: number): Promise<Array<{ sent: string }>>
  command(day: string, person: Person, request: unknown): Promise<CommandAnswer>
}): Route[] {
  const page = z.object({
    after: z.coerce.number().int().min(0).default(0),
    limit: z.coerce.number().int().min(1).max(1_000).default(200),
  })
  const withDay =
    (use: (day: AnsweredDay, asked: Asked) => Promise<Answer> | Answer) => async (asked: Asked) => {
      const day = await deps.reach(asked.params.day ?? '')
      return day ? use(day, asked) : refuse(404, 'There is no such running day.', { path: 'day' })
    }
  return [
    {
      method: 'GET',
      pattern: '/api/v1/days',
      who: roles,
      handle: async () => ({ status: 200, json: { days: await deps.days() } }),
    },
    {
      method: 'GET',
      pattern: '/api/v1/days/:day/board',
      who: roles,
      handle: withDay((day, asked) => ({ status: 200, json: boardAnswer(day, personOf(asked).role) })),
    },
    {
      method: 'GET',
      pattern: '/api/v1/days/:day/calls',
      who: onBoards,
      handle: withDay(day => ({ status: 200, json: callsAnswer(day, deps.nameOf) })),
    },
    {
      method: 'GET',
      pattern: '/api/v1/days/:day/log',
      who: roles,
      handle: withDay(async (day, asked) => {
        const asks = page.safeParse(Object.fromEntries(asked.query))
        if (!asks.success)
          return refuse(400, 'after and limit are whole numbers, limit at most 1000', {
            path: String(asks.error.issues[0]?.path[0] ?? ''),
          })
        const { after, limit } = asks.data
        return {
          status: 200,
          json: await logAnswer(day, deps.log, after, limit, personOf(asked).role),
        }
      }),
    },
    {
      method: 'GET',
      pattern: '/api/v1/days/:day/precincts/:code',
      who: onBoards,
      handle: async asked => {
        const asks = untilQuery.safeParse(Object.fromEntries(asked.query))
        if (!asks.success)
          return refuse(400, 'until is an instant as RFC 3339, view is known or happened', {
            path: String(asks.error.issues[0]?.path[0] ?? ''),
          })
        const { until, view } = asks.data
        const code = asked.params.code ?? ''
        const { role } = personOf(asked)
        const found = (json: PrecinctDetail | null): Answer =>
          json
            ? { status: 200, json }
            : refuse(404, 'There is no such precinct in this day’s plan.', { path: 'code' })
        if (until === undefined)
          return withDay(async day => found(await precinctAnswer(day, deps.log, code, role)))(asked)
        const day = asked.params.day ?? ''
        const at = fromRfc3339(until)
        const known = await deps.until(day, at)
        if (!known.ok) return answerOf(known)
        const { index, position } = known.value
        const then = view === 'known' ? { view, position } : { view, at }
        return found(await precinctAnswer({ day, index }, deps.log, code, role, then))
      },
    },
    {
      method: 'GET',
      pattern: '/api/v1/days/:day/phones',
      who: ['desk', 'supervisor'],
      handle: withDay(day => ({ status: 200, json: phonesAnswer(day) })),
    },
    {
      method: 'GET',
      pattern: '/api/v1/days/:day/errands',
      who: ['rover', 'desk', 'supervisor'],
      handle: withDay(async (day, asked) => {
        const { role, post } = personOf(asked)
        const own = role === 'rover' ? [post ?? null] : []
        return { status: 200, json: await errandsAnswer(day, deps.log, ...own) }
      }),
    },
    {
      method: 'GET',
      pattern: '/api/v1/days/:day/devices',
      // Whoever may revoke a device; of any day, also of one that isn't run yet.
      who: commandRoles.RevokeDevice,
      handle: async asked => {
        const day = asked.params.day ?? ''
        if (!(await deps.known(day))) return refuse(404, 'There is no such day.', { path: 'day' })
        const of = asked.query.get('precinct')
        const refused = of === null ? await deps.refused(day, 200) : []
        const words = roleSeesContacts(personOf(asked).role)
        return {
          status: 200,
          json: {
            devices: (await deps.devices(day)).filter(d => of === null || d.precinct === of),
            refused: words ? refused : refused.map(r => ({ ...r, sent: withoutWords(r.sent) })),
          },
        }
      },
    },
    {
      method: 'POST',
      pattern: '/api/v1/days/:day/commands',
      who: roles,
      handle: withDay(async (day, asked) => {
        const json = await deps.command(day.day, personOf(asked), asked.body)
        return { status: json.ok ? 200 : statusOf[json.refusal.reason], json }
      }),
    },
  ]
}

const statusOf = {
  invalid: 400,
  'not-allowed': 403,
  'already-taken': 409,
  'not-yours': 409,
  'unknown-precinct': 404,
  'day-closed': 409,
  'unknown-rover': 404,
  'unknown-errand': 404,
  'other-state': 409,
  unavailable: 503,
} as const

function personOf(asked: Asked): Person {
  if (!asked.caller || !('person' in asked.caller))
    throw new Error('a route for people was reached without a person')
  return asked.caller.person
}
