import { and, asc, desc, eq, isNull, sql } from 'drizzle-orm'
import type { PostgresJsDatabase } from 'drizzle-orm/postgres-js'
import type { Account } from '../server/access/access.ts'
import type { AccessStore, Ending } from '../server/access/store.ts'
import type { Reader } from './reader.ts'
import { apiToken, credential, day, person, session, signInLink } from './schema.ts'

/** What the tables are asked through: `patiently` asks again where a connection was lost, for what may be done twice. */
export type Asking = { db: PostgresJsDatabase; patiently: Reader['patiently'] }

export const thePerson = { id: person.id, name: person.name, role: person.role, post: person.post }

/** People, their accounts, and the tokens of programs: a part of AccessStore. */
export function peopleStore({
  db,
  patiently,
}: Asking): Pick<
  AccessStore,
  | 'addPerson'
  | 'people'
  | 'accounts'
  | 'addAccount'
  | 'changeAccount'
  | 'counties'
  | 'addToken'
  | 'addProgram'
  | 'personOfToken'
  | 'usedToken'
  | 'tokens'
  | 'endToken'
> {
  const first = <T>(rows: T[]): T | null => rows[0] ?? null
  return {
    addPerson: async ({ id, name, role, post = null }, at) =>
      first(
        await patiently(() =>
          db.execute<Ending>(sql`
            with before as (select id, role from ${person} where id = ${id}), kept as (
              insert into ${person} (id, name, role, post, made_at, changed_at)
              values (${id}, ${name}, ${role}, ${post}, ${at}::bigint, ${at}::bigint)
              on conflict (id) do update set name = excluded.name, role = excluded.role, post = excluded.post,
                changed_at = excluded.changed_at,
                ended = person.ended + case when person.role = excluded.role then 0 else 1 end
              returning id, role, ended
            ), gone as (
              delete from ${session} s using before b, kept k where s.person = k.id and b.role <> k.role
            )
            select k.id as person, k.ended from kept k join before b on b.id = k.id where b.role <> k.role`),
        ),
      ),
    people: async () =>
      (await patiently(() => db.select(thePerson).from(person))).sort((a, b) => a.name.localeCompare(b.name)),
    accounts: async at => {
      const rows = await patiently(() =>
        db.execute<Account>(sql`
          select p.id, p.name, p.email, p.role, p.post,
            case when p.off_at is not null then 'off'
                 when p.email is null or c.id is not null then 'active' else 'invited' end as is,
            (select count(*) from ${session} s where s.person = p.id and s.expires_at > ${at}::bigint) as sessions
          from ${person} p left join ${credential} c on c.person = p.id
          where p.kind = 'person'`),
      )
      return [...rows].sort((a, b) => a.name.localeCompare(b.name))
    },
    addAccount: async ({ id, name, role, post = null, email }, at) => {
      const made = await db.execute(sql`
        insert into ${person} (id, name, role, post, email, made_at, changed_at)
        values (${id}, ${name}, ${role}, ${post}, ${email}, ${at}::bigint, ${at}::bigint)
        on conflict (email) do nothing returning id`)
      return made.length === 1
    },
    changeAccount: async (id, { name = null, role = null, post, off = null }, at) => {
      const leaves = off === true || (role !== null && role !== 'admin')
      // The administrators are locked, so that of two who switch each other off one is left.
      const [row] = await db.execute<{
        known: boolean
        done: boolean
        ended: number | null
        told: boolean
      }>(sql`
        with admins as (
          select p.id from ${person} p
          where p.role = 'admin' and p.kind = 'person' and p.off_at is null
            and (p.email is null or exists (select 1 from ${credential} c where c.person = p.id))
          order by p.id for update
        ), before as (
          select id, role, post, off_at from ${person} where id = ${id} and kind = 'person'
        ), allowed as (
          select b.*,
            (${role}::text is not null and ${role}::text <> b.role) or (${off}::boolean and b.off_at is null) as ends,
            ${post !== undefined}::boolean and ${post ?? null}::text is distinct from b.post as moves
          from before b
          where not ${leaves}::boolean
             or not exists (select 1 from admins where id = ${id})
             or exists (select 1 from admins where id <> ${id})
        ), changed as (
          update ${person} p set
            name = coalesce(${name}::text, p.name),
            role = coalesce(${role}::text, p.role),
            post = case when ${post !== undefined}::boolean then ${post ?? null}::text else p.post end,
            off_at = case when ${off}::boolean is null then p.off_at
                          when ${off}::boolean then coalesce(p.off_at, ${at}::bigint) end,
            ended = p.ended + case when a.ends or a.moves then 1 else 0 end,
            changed_at = ${at}::bigint
          from allowed a where p.id = a.id
          returning p.id, p.ended, a.ends, a.moves
        ), gone as (
          delete from ${session} s using changed c where s.person = c.id and c.ends
        ), void as (
          delete from ${signInLink} l using changed c where l.person = c.id and ${off}::boolean
        )
        select exists (select 1 from before) as known, c.id is not null as done, c.ended, c.ends or c.moves as told
        from (select 1) one left join changed c on true`)
      if (!row?.known) return 'unknown'
      if (!row.done) return 'last-admin'
      return { ending: row.told ? { person: id, ended: row.ended! } : null }
    },
    counties: async () =>
      (await patiently(() => db.selectDistinct({ county: day.county }).from(day))).map(row => row.county),

    addToken: async token => {
      await db.insert(apiToken).values(token)
    },
    addProgram: async ({ id, name, role }, at) => {
      await db.execute(sql`
        insert into ${person} (id, name, role, kind, made_at, changed_at)
        values (${id}, ${name}, ${role}, 'program', ${at}::bigint, ${at}::bigint)`)
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
    endToken: async (id, at) =>
      first(
        await db.execute<Ending>(sql`
          with gone as (
            update ${apiToken} set ended_at = ${at}::bigint where id = ${id} and ended_at is null returning person
          )
          update ${person} p set ended = p.ended + 1 from gone where p.id = gone.person
          returning p.id as person, p.ended`),
      ),
  }
}
