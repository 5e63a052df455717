import { and, asc, desc, eq, isNull, sql } from 'drizzle-orm'
import type { AccessStore, Ending } from '../server/access/store.ts'
import { recorded } from './peopleLog.ts'
import { type Asking, thePerson } from './peopleStore.ts'
import { apiToken, person } from './schema.ts'

/** The tokens of programs: a part of AccessStore. */
export function tokenStore({
  db,
  patiently,
}: Asking): Pick<
  AccessStore,
  'addToken' | 'addProgram' | 'personOfToken' | 'usedToken' | 'tokens' | 'endToken'
> {
  const withRole = sql`jsonb_build_object('role', p.role)`
  return {
    addToken: async ({ id, hash, person: of, label, madeAt }, by) => {
      await db.execute(sql`
        with made as (
          insert into ${apiToken} (id, hash, person, label, made_at)
          values (${id}, ${hash}, ${of}, ${label}, ${madeAt}::bigint) returning id, person
        ), ${recorded(sql`made m join ${person} p on p.id = m.person`, {
          at: madeAt,
          by,
          kind: 'TokenMade',
          about: sql`m.id`,
          what: withRole,
        })}
        select 1`)
    },
    addProgram: async (program, { id, hash, label, madeAt }, by) => {
      await db.execute(sql`
        with p as (
          insert into ${person} (id, name, role, kind, made_at, changed_at)
          values (${program.id}, ${program.name}, ${program.role}, 'program', ${madeAt}::bigint, ${madeAt}::bigint)
          returning id, role
        ), made as (
          insert into ${apiToken} (id, hash, person, label, made_at)
          select ${id}, ${hash}, id, ${label}, ${madeAt}::bigint from p
        ), ${recorded(sql`p`, { at: madeAt, by, kind: 'TokenMade', about: sql`${id}::text`, what: withRole })}
        select 1`)
    },
    personOfToken: async hash => {
      const [row] = await patiently(() =>
        db
          .select({ ...thePerson, usedAt: apiToken.usedAt })
          .from(apiToken)
          .innerJoin(person, eq(person.id, apiToken.person))
          .where(and(eq(apiToken.hash, hash), isNull(apiToken.endedAt), isNull(person.offAt))),
      )
      if (!row) return null
      const { usedAt, ...whose } = row
      return { person: whose, usedAt }
    },
    usedToken: async (hash, at) => {
      await patiently(() => db.update(apiToken).set({ usedAt: at }).where(eq(apiToken.hash, hash)))
    },
    tokens: () =>
      patiently(() =>
        db
          .select({
            id: apiToken.id,
            label: apiToken.label,
            role: person.role,
            madeAt: apiToken.madeAt,
            usedAt: apiToken.usedAt,
          })
          .from(apiToken)
          .innerJoin(person, eq(person.id, apiToken.person))
          .where(isNull(apiToken.endedAt))
          .orderBy(desc(apiToken.madeAt), asc(apiToken.id)),
      ),
    endToken: async (id, at, by) => {
      const [ending] = await db.execute<Ending>(sql`
        with gone as (
          update ${apiToken} set ended_at = ${at}::bigint where id = ${id} and ended_at is null returning id, person
        ), counted as (
          update ${person} p set ended = p.ended + 1 from gone where p.id = gone.person
          returning p.id, p.ended, p.role, gone.id as token
        ), ${recorded(sql`counted p`, { at, by, kind: 'TokenEnded', about: sql`p.token`, what: withRole })}
        select id as person, ended from counted`)
      return ending ?? null
    },
  }
}
