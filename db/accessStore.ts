import { and, asc, eq, gt, isNull, lte, sql } from 'drizzle-orm'
import { drizzle } from 'drizzle-orm/postgres-js'
import type { Person } from '../server/access/access.ts'
import type { AccessStore } from '../server/access/store.ts'
import type { Sql } from './connect.ts'
import { apiToken, day, device, enrolCode, person, session, signInLink } from './schema.ts'

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

    addPerson: async ({ id, name, role, post = null }) => {
      await patiently(() =>
        db
          .insert(person)
          .values({ id, name, role, post })
          .onConflictDoUpdate({ target: person.id, set: { name, role, post } }),
      )
    },
    people: async () =>
      (await patiently(() => db.select(thePerson).from(person))).sort((a, b) => a.name.localeCompare(b.name)),

    addLink: async link => {
      await db.insert(signInLink).values(link)
    },
    spendLink: async (hash, fresh, at) =>
      first(
        await db.execute<Person>(sql`
          with spent as (
            update ${signInLink} set used_at = ${at}::bigint
            where hash = ${hash} and used_at is null and expires_at > ${at}::bigint
            returning person
          ), begun as (
            insert into ${session} (hash, person, expires_at)
            select ${fresh.hash}, person, ${fresh.expiresAt}::bigint from spent
            returning person
          )
          select p.id, p.name, p.role, p.post from begun join ${person} p on p.id = begun.person`),
      ),
    personOfSession: async (hash, at) =>
      first<Person>(
        await patiently(() =>
          db
            .select(thePerson)
            .from(session)
            .innerJoin(person, eq(person.id, session.person))
            .where(and(eq(session.hash, hash), gt(session.expiresAt, at))),
        ),
      ),
    endSession: async hash => {
      const ended = await db
        .delete(session)
        .where(eq(session.hash, hash))
        .returning({ person: session.person })
      return ended[0]?.person ?? null
    },

    addToken: async ({ hash, person: of, createdAt }) => {
      await db.insert(apiToken).values({ hash, person: of, madeAt: createdAt })
    },
    personOfToken: async hash =>
      first<Person>(
        await patiently(() =>
          db
            .select(thePerson)
            .from(apiToken)
            .innerJoin(person, eq(person.id, apiToken.person))
            .where(eq(apiToken.hash, hash)),
        ),
      ),

    removeExpired: async at => {
      await db.delete(signInLink).where(lte(signInLink.expiresAt, at))
      const ended = await db
        .delete(session)
        .where(lte(session.expiresAt, at))
        .returning({ person: session.person })
      return [...new Set(ended.map(row => row.person))]
    },
  }
}
