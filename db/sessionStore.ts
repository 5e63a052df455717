import { and, eq, gt, isNull, lte, type SQL, sql } from 'drizzle-orm'
import type { Person } from '../server/access/access.ts'
import type { FreshSession } from '../server/access/credentials.ts'
import type { AccessStore, Ending } from '../server/access/store.ts'
import { recorded } from './peopleLog.ts'
import { type Asking, thePerson } from './peopleStore.ts'
import { credential, knownBrowser, person, session, signInLink } from './schema.ts'

/** Links, the sessions that begin with them, and known browsers: a part of AccessStore. */
export function sessionStore({
  db,
  patiently,
}: Asking): Pick<
  AccessStore,
  | 'addLink'
  | 'linkOf'
  | 'spendLink'
  | 'spendPasswordLink'
  | 'personOfSession'
  | 'endSession'
  | 'endings'
  | 'knowsBrowser'
  | 'rememberBrowser'
  | 'removeExpired'
> {
  const first = <T>(rows: T[]): T | null => rows[0] ?? null
  return {
    addLink: async ({ hash, person: of, expiresAt, purpose }, at, by) => {
      const made = await db.execute(sql`
        with those as (select id from ${person} where id = ${of} and off_at is null), void as (
          update ${signInLink} l set used_at = ${at}::bigint from those t
          where l.person = t.id and l.purpose = 'password' and ${purpose} = 'password' and l.used_at is null
        ), made as (
          insert into ${signInLink} (hash, person, expires_at, purpose)
          select ${hash}, id, ${expiresAt}::bigint, ${purpose} from those
          returning person, purpose
        ), ${recorded(sql`made`, {
          at,
          by,
          kind: 'LinkMade',
          about: sql`person`,
          what: sql`jsonb_build_object('for', purpose)`,
        })}
        select person from made`)
      return made.length === 1
    },
    linkOf: async (hash, at) => {
      const [row] = await patiently(() =>
        db
          .select({ ...thePerson, email: person.email, purpose: signInLink.purpose })
          .from(signInLink)
          .innerJoin(person, eq(person.id, signInLink.person))
          .where(
            and(
              eq(signInLink.hash, hash),
              isNull(signInLink.usedAt),
              gt(signInLink.expiresAt, at),
              isNull(person.offAt),
            ),
          ),
      )
      if (!row) return null
      const { email, purpose, ...whose } = row
      return { purpose, person: whose, email }
    },
    spendLink: async (hash, fresh) =>
      first(
        await db.execute<Person>(sql`
          with spent as (
            update ${signInLink} l set used_at = ${fresh.begunAt}::bigint from ${person} p
            where l.hash = ${hash} and l.used_at is null and l.expires_at > ${fresh.begunAt}::bigint
              and l.purpose = 'sign-in' and p.id = l.person and p.off_at is null
            returning p.id, p.name, p.role, p.post
          ), ${begun(fresh)}
          select id, name, role, post from spent`),
      ),
    spendPasswordLink: async (hash, { password, session: fresh, browser }) => {
      const at = fresh.begunAt
      const [row] = await db.execute<Person & { ended: number }>(sql`
        with spent as (
          update ${signInLink} l set used_at = ${at}::bigint from ${person} p
          where l.hash = ${hash} and l.used_at is null and l.expires_at > ${at}::bigint
            and l.purpose = 'password' and p.id = l.person and p.off_at is null
          returning p.id, p.name, p.role, p.post
        ), set_password as (
          insert into ${credential} (id, person, provider, account, password, made_at, changed_at)
          select 'c-' || id, id, 'credential', id, ${password}, ${at}::bigint, ${at}::bigint from spent
          on conflict (person, provider) do update
            set password = excluded.password, changed_at = excluded.changed_at
        ), gone as (
          delete from ${session} s using spent where s.person = spent.id returning s.expires_at
        ), forgotten as (
          delete from ${knownBrowser} b using spent where b.person = spent.id
        ), known as (
          insert into ${knownBrowser} (hash, person, until)
          select ${browser.hash}, id, ${browser.until}::bigint from spent
        ), counted as (
          update ${person} p set ended = p.ended + 1 from spent where p.id = spent.id returning p.id, p.ended
        ), ${recorded(sql`counted`, {
          at,
          by: sql`id`,
          kind: 'PasswordSet',
          about: sql`id`,
          what: sql`jsonb_build_object(
            'sessionsEnded', nullif((select count(*) from gone where expires_at > ${at}::bigint), 0))`,
        })}, ${begun(fresh)}
        select spent.id, name, role, post, ended from spent join counted on counted.id = spent.id`)
      if (!row) return null
      const { ended, ...whose } = row
      return { person: whose, ending: { person: whose.id, ended } }
    },
    personOfSession: async (hash, at) =>
      first<Person>(
        await patiently(() =>
          db
            .select(thePerson)
            .from(session)
            .innerJoin(person, eq(person.id, session.userId))
            .where(and(eq(session.token, hash), gt(session.expiresAt, new Date(at)), isNull(person.offAt))),
        ),
      ),
    endSession: async hash =>
      first(
        await db.execute<Ending>(sql`
          with gone as (delete from ${session} where hash = ${hash} returning person)
          update ${person} p set ended = p.ended + 1 from gone where p.id = gone.person
          returning p.id as person, p.ended`),
      ),
    endings: () =>
      patiently(() =>
        db.select({ person: person.id, ended: person.ended }).from(person).where(gt(person.ended, 0)),
      ),

    knowsBrowser: async (hash, email, at) => {
      const rows = await patiently(() =>
        db
          .select({ person: person.id })
          .from(knownBrowser)
          .innerJoin(person, eq(person.id, knownBrowser.person))
          .where(and(eq(knownBrowser.hash, hash), gt(knownBrowser.until, at), eq(person.email, email))),
      )
      return rows.length > 0
    },
    rememberBrowser: async browser => {
      await patiently(() =>
        db
          .insert(knownBrowser)
          .values(browser)
          .onConflictDoUpdate({
            target: knownBrowser.hash,
            set: { person: browser.person, until: browser.until },
          }),
      )
    },

    removeExpired: async at => {
      await db.delete(signInLink).where(lte(signInLink.expiresAt, at))
      await db.delete(knownBrowser).where(lte(knownBrowser.until, at))
      return [
        ...(await db.execute<Ending>(sql`
          with gone as (delete from ${session} where expires_at <= ${at}::bigint returning person)
          update ${person} p set ended = p.ended + 1
          where p.id in (select person from gone)
          returning p.id as person, p.ended`)),
      ]
    },
  }
}

/** The session of whoever has spent a link: a part of a statement that has `spent (id, …)`. */
function begun({ hash, begunAt, expiresAt }: FreshSession): SQL {
  return sql`begun as (
    insert into ${session} (id, hash, person, expires_at, made_at, changed_at)
    select ${makeSessionId(hash)}, ${hash}, id, ${expiresAt}::bigint, ${begunAt}::bigint, ${begunAt}::bigint from spent
  )`
}

/** Told from what the library makes; it says nothing that the hash doesn't. */
function makeSessionId(hash: string): string {
  return `s-${hash.slice(0, 30)}`
}
