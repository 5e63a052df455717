import type { z } from 'zod'
import { problemsOf, readAs } from '../domain/log/check.ts'
import type { Problem } from '../protocol/device.ts'
import {
  askCodes,
  closeDay,
  type freshCodes,
  openDay,
  type planReport,
  planUpload,
  practiseDay,
  type refusedReports,
  revokeDevice,
  setSpeed,
  type setupDay,
  type setupPlan,
  switchFault,
} from '../protocol/setup.ts'
import { type Answer, refuse } from './answer.ts'
import { HTTP_LIMITS } from './limits.ts'
import type { Asked, Route } from './routes.ts'

/** What was asked is not done, and why, by field; `missing`: there is no such day. */
export type Refused = { ok: false; problems: Problem[]; missing?: true }
export type Done = { ok: true } | Refused

/** The days as their administrator keeps them; server/dayKeeper.ts is it. A user's mistake is a value. */
export type SetupDays = {
  list(): Promise<Array<z.output<typeof setupDay>>>
  upload(upload: z.output<typeof planUpload>): Promise<z.output<typeof planReport>>
  open(day: string): Promise<Done>
  practise(day: string, how: z.output<typeof practiseDay>): Promise<Done>
  setSpeed(day: string, speed: number): Promise<Done>
  switchFault(day: string, fault: z.output<typeof switchFault>): Promise<Done>
  close(day: string): Promise<Done>
  codes(
    day: string,
    precincts: string[] | undefined,
  ): Promise<({ ok: true } & z.output<typeof freshCodes>) | Refused>
  /** A device of a day that doesn't run. */
  revoke(day: string, device: string): Promise<Done>
  /** null: there is no such day. */
  plan(day: string): Promise<z.output<typeof setupPlan> | null>
  refused(day: string): Promise<z.output<typeof refusedReports> | null>
}

/** Days, plans, codes and a trainer's faults: for an administrator. */
export function setupRoutes(days: SetupDays): Route[] {
  const noDay = () => refuse(404, 'There is no such day.', { path: 'day' })
  const dayIn = (asked: Asked) => asked.params.day ?? ''
  const get = (pattern: string, answer: (asked: Asked) => Promise<unknown | null>): Route => ({
    method: 'GET',
    pattern: `/api/v1/setup/${pattern}`,
    who: ['admin'],
    handle: async asked => {
      const json = await answer(asked)
      return json === null ? noDay() : { status: 200, json }
    },
  })
  const post = <T>(
    pattern: string,
    schema: z.ZodType<T>,
    answer: (body: T, asked: Asked) => Promise<Answer>,
    limits: Pick<Route, 'body' | 'bodyMs'> = {},
  ): Route => ({
    method: 'POST',
    pattern: `/api/v1/setup/${pattern}`,
    who: ['admin'],
    ...limits,
    handle: async asked => {
      const parsed = readAs(schema, asked.body)
      if (!parsed.success)
        return { status: 400, json: { ok: false, problems: [...problemsOf(parsed.error)] } satisfies Refused }
      return answer(parsed.data, asked)
    },
  })
  const told = (done: ({ ok: true } & object) | Refused): Answer => {
    if (done.ok) return { status: 200, json: done }
    return done.missing ? noDay() : { status: 409, json: { ok: false, problems: done.problems } }
  }

  return [
    get('days', async () => ({ days: await days.list() })),
    get('days/:day/plan', asked => days.plan(dayIn(asked))),
    get('days/:day/refused', asked => days.refused(dayIn(asked))),
    post('plans', planUpload, async upload => ({ status: 200, json: await days.upload(upload) }), {
      body: HTTP_LIMITS.planBytes,
      bodyMs: HTTP_LIMITS.planMs,
    }),
    post('days/:day/open', openDay, async (_, asked) => told(await days.open(dayIn(asked)))),
    post('days/:day/practise', practiseDay, async (how, asked) =>
      told(await days.practise(dayIn(asked), how)),
    ),
    post('days/:day/speed', setSpeed, async ({ speed }, asked) =>
      told(await days.setSpeed(dayIn(asked), speed)),
    ),
    post('days/:day/fault', switchFault, async (fault, asked) =>
      told(await days.switchFault(dayIn(asked), fault)),
    ),
    post('days/:day/close', closeDay, async ({ confirm }, asked) =>
      confirm === dayIn(asked)
        ? told(await days.close(confirm))
        : refuse(409, 'This is not the id of the day: nothing was closed.', { path: 'confirm' }),
    ),
    post('days/:day/codes', askCodes, async ({ precincts }, asked) => {
      const fresh = await days.codes(dayIn(asked), precincts)
      return fresh.ok ? { status: 200, json: { codes: fresh.codes } } : told(fresh)
    }),
    post('days/:day/revoke', revokeDevice, async ({ device }, asked) =>
      told(await days.revoke(dayIn(asked), device)),
    ),
  ]
}
