import { z } from 'zod'
import type { MadeLink, PeopleAdmin, Problem } from '../access/access.ts'
import { problemsOf, readAs } from '../domain/log/check.ts'
import { toRfc3339 } from '../domain/time.ts'
import {
  type accounts,
  type apiTokens,
  askLink,
  changeAccount,
  invite,
  type linkMade,
  makeToken,
  type tokenMade,
} from '../protocol/setup.ts'
import { type Answer, refuse } from './answer.ts'
import type { Asked, Route } from './routes.ts'

const nothing = z.strictObject({})

/** People, their links, and the tokens of programs: for an administrator. What was asked wrong comes back by field. */
export function peopleRoutes(people: PeopleAdmin): Route[] {
  const post = <T>(
    pattern: string,
    schema: z.ZodType<T>,
    answer: (body: T, asked: Asked) => Promise<Answer>,
  ): Route => ({
    method: 'POST',
    pattern: `/api/v1/setup/${pattern}`,
    who: ['admin'],
    async handle(asked) {
      const parsed = readAs(schema, asked.body)
      return parsed.success ? answer(parsed.data, asked) : problems(400, [...problemsOf(parsed.error)])
    },
  })
  const noPerson = () => refuse(404, 'There is no such account.', { path: 'person' })

  return [
    {
      method: 'GET',
      pattern: '/api/v1/setup/people',
      who: ['admin'],
      handle: async () => ok({ people: await people.accounts() } satisfies z.output<typeof accounts>),
    },
    post('people', invite, async body => {
      const made = await people.invite(body)
      return made.ok ? ok(linkOnWire(made.link)) : problems(409, made.problems)
    }),
    post('people/:person', changeAccount, async (body, { params }) => {
      const outcome = await people.changeAccount(params.person ?? '', body)
      if (outcome === null) return noPerson()
      return outcome.ok ? ok({ ok: true }) : problems(409, outcome.problems)
    }),
    post('people/:person/link', askLink, async (body, { params }) => {
      // Nobody comes in as somebody who has a password of their own: what is written under a name is theirs.
      const account = (await people.accounts()).find(one => one.id === params.person)
      if (body.for === 'sign-in' && account?.is !== 'off' && account?.email)
        return refuse(409, 'They sign in with a password of their own: make a link to set one.', {
          path: 'for',
        })
      const link = await people.linkFor(params.person ?? '', body.for)
      return link === null
        ? refuse(404, 'There is no such account, or it is switched off.', { path: 'person' })
        : ok(linkOnWire(link))
    }),
    {
      method: 'GET',
      pattern: '/api/v1/setup/tokens',
      who: ['admin'],
      handle: async () => {
        const tokens = (await people.tokens()).map(({ madeAt, usedAt, ...token }) => ({
          ...token,
          madeAt: toRfc3339(madeAt),
          usedAt: usedAt === null ? null : toRfc3339(usedAt),
        }))
        return ok({ tokens } satisfies z.output<typeof apiTokens>)
      },
    },
    post('tokens', makeToken, async ({ label, role }) =>
      ok((await people.makeProgramToken(label, role)) satisfies z.output<typeof tokenMade>),
    ),
    post('tokens/:token/end', nothing, async (_body, { params }) =>
      (await people.endToken(params.token ?? ''))
        ? ok({ ok: true })
        : refuse(404, 'There is no such token, or it has ended.', { path: 'token' }),
    ),
  ]
}

function linkOnWire({ person, secret, until }: MadeLink): z.output<typeof linkMade> {
  return { person, link: `/enter?key=${secret}`, validUntil: toRfc3339(until) }
}

function ok(json: unknown): Answer {
  return { status: 200, json }
}

function problems(status: number, list: Problem[]): Answer {
  return { status, json: { ok: false, problems: list } }
}
