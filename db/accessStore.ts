import { drizzleAdapter } from 'better-auth/adapters/drizzle'
import { and, asc, desc, eq, gt, isNull, lte, type SQL, sql } from 'drizzle-orm'
import { drizzle } from 'drizzle-orm/postgres-js'
import type { Account, Person } from '../server/access/access.ts'
import type { FreshSession } from '../server/access/credentials.ts'
import type { AccessStore, Ending } from '../server/access/store.ts'
import type { Sql } from './connect.ts'
import {
  apiToken,
  credential,
  day,
  device,
  enrolCode,
  knownBrowser,
  person,
  session,
  signInLink,
} from './schema.ts'

/** A code as it stood when the statement began, and whether that statement has spent it. */
type Spending = {
  day: string
  precinct: string
  ok: boolean
  usedAt: number | null
  closedAt: number | null
}

/**
 * Access's tables in Postgres: the contract is server/access/store.ts. What is spent is spent by one statement, so
 * that of two callers the second waits for the row and then finds it spent. Such a statement is never sent again by
 * itself: whether it was done when its answer was lost, its caller can't know.
 */
export function openAccessStore({ reader }: Sql): AccessStore {
  const db = drizzle({ client: reader.client })
  const { patiently } = reader
  const theDevice = {
    id: device.id,
    day: device.day,
    precinct: device.precinct,
    label: device.label,
    enrolledAt: device.enrolledAt,
    revokedAt: device.revokedAt,
  }
  const thePerson = { id: person.id, name: person.name, role: person.role, post: person.post }
  const first = <T>(rows: T[]): T | null => rows[0] ?? null

  return {
    deviceOfKey: async keyHash =>
      first(await patiently(() => db.select(theDevice).from(device).where(eq(device.keyHash, keyHash)))),
    devicesOf: id =>
      patiently(() =>
        db
          .select(theDevice)
          .from(device)
          .where(eq(device.day, id))
          .orderBy(asc(device.enrolledAt), asc(device.id)),
      ),
    revokeDevice: async (id, at) =>
      first(
        await db
          .update(device)
          .set({ revokedAt: at })
          .where(and(eq(device.id, id), isNull(device.revokedAt)))
          .returning(theDevice),
      ),

    addCode: async code => {
      await db.insert(enrolCode).values(code)
    },
    spendCode: async (hash, { id, label, keyHash, enrolledAt }) => {
      const [code] = await db.execute<Spending>(sql`
        with spent as (
          update ${enrolCode} c set used_at = ${enrolledAt}::bigint from ${day} d
          where c.hash = ${hash} and c.used_at is null and d.id = c.day and d.closed_at is null
          returning c.day, c.precinct
        ), made as (
          insert into ${device} (id, day, precinct, key_hash, label, enrolled_at)
          select ${id}, day, precinct, ${keyHash}, ${label}, ${enrolledAt}::bigint from spent
          returning id
        )
        select c.day, c.precinct, made.id is not null as ok, c.used_at as "usedAt", d.closed_at as "closedAt"
        from ${enrolCode} c join ${day} d on d.id = c.day left join made on true
        where c.hash = ${hash}`)
      if (!code) return { ok: false, reason: 'wrong-code' }
      if (code.ok) {
        const { day, precinct } = code
        return { ok: true, device: { id, day, precinct, label, enrolledAt, revokedAt: null } }
      }
      // Seen unused and open, and still not had: somebody was quicker.
      const closed = code.usedAt === null && code.closedAt !== null
      return { ok: false, reason: closed ? 'day-closed' : 'used-code' }
    },

    identities: drizzleAdapter(db, {
      provider: 'pg',
      schema: { person, credential, session },
      transaction: false,
    }),

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

    addLink: async ({ hash, person: of, expiresAt, purpose }, at) => {
      const made = await db.execute(sql`
        with those as (select id from ${person} where id = ${of} and off_at is null), void as (
          update ${signInLink} l set used_at = ${at}::bigint from those t
          where l.person = t.id and l.purpose = 'password' and ${purpose} = 'password' and l.used_at is null
        )
        insert into ${signInLink} (hash, person, expires_at, purpose)
        select ${hash}, id, ${expiresAt}::bigint, ${purpose} from those
        returning hash`)
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
          delete from ${session} s using spent where s.person = spent.id
        ), forgotten as (
          delete from ${knownBrowser} b using spent where b.person = spent.id
        ), known as (
          insert into ${knownBrowser} (hash, person, until)
          select ${browser.hash}, id, ${browser.until}::bigint from spent
        ), counted as (
          update ${person} p set ended = p.ended + 1 from spent where p.id = spent.id returning p.id, p.ended
        ), ${begun(fresh)}
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
