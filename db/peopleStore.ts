import { sql } from 'drizzle-orm'
import type { PostgresJsDatabase } from 'drizzle-orm/postgres-js'
import type { Account } from '../server/access/access.ts'
import type { AccessStore, Ending } from '../server/access/store.ts'
import { begun, difference, recorded } from './peopleLog.ts'
import type { Reader } from './reader.ts'
import { credential, day, person, session, signInLink } from './schema.ts'

/** What the tables are asked through: `patiently` asks again where a connection was lost, for what may be done twice. */
export type Asking = { db: PostgresJsDatabase; patiently: Reader['patiently'] }

export const thePerson = { id: person.id, name: person.name, role: person.role, post: person.post }

/** People and their accounts: a part of AccessStore. */
export function peopleStore({
  db,
  patiently,
}: Asking): Pick<
  AccessStore,
  'addPerson' | 'people' | 'accounts' | 'addAccount' | 'changeAccount' | 'counties'
> {
  const first = <T>(rows: T[]): T | null => rows[0] ?? null
  return {
    addPerson: async ({ id, name, role, post = null }, at, by) =>
      // What was before is locked, and looked at first, so that the record says what truly was; of two who add the
      // same person in one moment one is the first (its row has no earlier version).
      first(
        await patiently(() =>
          db.execute<Ending>(sql`
            with before as (
              select id, name, role, post from ${person} where id = ${id} for no key update
            ), kept as (
              insert into ${person} (id, name, role, post, made_at, changed_at)
              select ${id}, ${name}, ${role}, ${post}, ${at}::bigint, ${at}::bigint
              from (select count(*) from before) looked
              on conflict (id) do update set name = excluded.name, role = excluded.role, post = excluded.post,
                changed_at = excluded.changed_at,
                ended = person.ended + case when person.role = excluded.role then 0 else 1 end
              returning id, name, role, post, ended, xmax = 0 as is_new
            ), gone as (
              delete from ${session} s using before b, kept k where s.person = k.id and b.role <> k.role
              returning s.expires_at
            ), told as (
              select k.*, b.name as was_name, b.role as was_role, b.post as was_post,
                (select count(*) from gone where expires_at > ${at}::bigint) as sessions
              from kept k left join before b on b.id = k.id
              where is_new
                or b.id is not null and (b.name, b.role, b.post) is distinct from (k.name, k.role, k.post)
            ), ${recorded(sql`told`, {
              at,
              by,
              kind: sql`case when is_new then 'PersonAdded' else 'PersonChanged' end`,
              about: sql`id`,
              what: sql`case when is_new then ${begun} else ${difference} end`,
            })}
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
    addAccount: async ({ id, name, role, post = null, email }, link, at, by) => {
      const made = await db.execute(sql`
        with made as (
          insert into ${person} (id, name, role, post, email, made_at, changed_at)
          values (${id}, ${name}, ${role}, ${post}, ${email}, ${at}::bigint, ${at}::bigint)
          on conflict (email) do nothing returning id, role, post
        ), linked as (
          insert into ${signInLink} (hash, person, expires_at, purpose)
          select ${link.hash}, id, ${link.expiresAt}::bigint, 'password' from made
        ), ${recorded(sql`made`, { at, by, kind: 'PersonInvited', about: sql`id`, what: begun })}
        select id from made`)
      return made.length === 1
    },
    changeAccount: async (id, { name = null, role = null, post, off = null }, at, by) => {
      const leaves = off === true || (role !== null && role !== 'admin')
      // The administrators are locked, so that of two who switch each other off one is left; before the person, so
      // that the two don't wait for each other. The person is locked so that the record says what truly was.
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
          order by p.id for no key update
        ), before as (
          select id, name, role, post, off_at from ${person}
          where id = ${id} and kind = 'person' and (not ${leaves}::boolean or (select count(*) from admins) >= 0)
          for no key update
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
          returning p.id, p.name, p.role, p.post, p.off_at, p.ended, a.ends, a.moves,
            a.name as was_name, a.role as was_role, a.post as was_post, a.off_at as was_off
        ), gone as (
          delete from ${session} s using changed c where s.person = c.id and c.ends returning s.expires_at
        ), void as (
          delete from ${signInLink} l using changed c where l.person = c.id and ${off}::boolean
        ), told as (
          select *, (select count(*) from gone where expires_at > ${at}::bigint) as sessions from changed
          where (was_name, was_role, was_post, was_off) is distinct from (name, role, post, off_at)
        ), ${recorded(sql`told`, {
          at,
          by,
          kind: sql`case when was_off is null and off_at is not null then 'PersonSwitchedOff'
                         when was_off is not null and off_at is null then 'PersonSwitchedOn'
                         else 'PersonChanged' end`,
          about: sql`id`,
          what: difference,
        })}
        select exists (select 1 from before) as known, c.id is not null as done, c.ended, c.ends or c.moves as told
        from (select 1) one left join changed c on true`)
      if (!row?.known) return 'unknown'
      if (!row.done) return 'last-admin'
      return { ending: row.told ? { person: id, ended: row.ended! } : null }
    },
    counties: async () =>
      (await patiently(() => db.selectDistinct({ county: day.county }).from(day))).map(row => row.county),
  }
}
