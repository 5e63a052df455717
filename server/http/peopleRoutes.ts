import { z } from 'zod'
import type { Author, MadeLink, PeopleAdmin, Problem } from '../access/access.ts'
import { problemsOf, readAs } from '../domain/log/check.ts'
import { toRfc3339 } from '../domain/time.ts'
import { type peopleChanges, peopleChangesQuery } from '../protocol/peopleChanges.ts'
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

/**
 * People, their links, the tokens of programs, and who changed what of these: for an administrator. What was asked
 * wrong comes back by field.
 */
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
    {
      method: 'GET',
      pattern: '/api/v1/setup/people/changes',
      who: ['admin'],
      async handle({ query }) {
        const asks = peopleChangesQuery.safeParse(Object.fromEntries(query))
        if (!asks.success)
          return refuse(400, 'before and limit are whole numbers from 1 on, limit at most 200', {
            path: String(asks.error.issues[0]?.path[0] ?? ''),
          })
        const { changes, more, timeZone } = await people.changes(asks.data)
        const onWire = changes.map(change => ({ ...change, at: toRfc3339(change.at) }))
        return ok({ changes: onWire, more, timeZone } satisfies z.output<typeof peopleChanges>)
      },
    },
    post('people', invite, async (body, asked) => {
      const made = await people.invite(body, authorOf(asked))
      return made.ok ? ok(linkOnWire(made.link)) : problems(409, made.problems)
    }),
    post('people/:person', changeAccount, async (body, asked) => {
      const outcome = await people.changeAccount(asked.params.person ?? '', body, authorOf(asked))
      if (outcome === null) return noPerson()
      return outcome.ok ? ok({ ok: true }) : problems(409, outcome.problems)
    }),
    post('people/:person/link', askLink, async (body, asked) => {
      const id = asked.params.person ?? ''
      // Nobody comes in as somebody who has a password of their own: what is written under a name is theirs.
      const account = (await people.accounts()).find(one => one.id === id)
      if (body.for === 'sign-in' && account?.is !== 'off' && account?.email)
        return refuse(409, 'They sign in with a password of their own: make a link to set one.', {
          path: 'for',
        })
      const link = await people.linkFor(id, body.for, authorOf(asked))
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
    post('tokens', makeToken, async ({ label, role }, asked) =>
      ok((await people.makeProgramToken(label, role, authorOf(asked))) satisfies z.output<typeof tokenMade>),
    ),
    post('tokens/:token/end', nothing, async (_body, asked) =>
      (await people.endToken(asked.params.token ?? '', authorOf(asked)))
        ? ok({ ok: true })
        : refuse(404, 'There is no such token, or it has ended.', { path: 'token' }),
    ),
  ]
}

/** These routes are for administrators, so there is a person. */
function authorOf({ caller }: Asked): Author {
  if (caller === null || !('person' in caller)) throw new Error('a change about people without its author')
  return caller.person.id
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
