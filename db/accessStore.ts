import { and, asc, eq, gt, isNull, lte } from 'drizzle-orm'
import { drizzle } from 'drizzle-orm/node-postgres'
import type { Device, Person } from '../server/access/access.ts'
import type { AccessStore } from '../server/access/store.ts'
import type { Sql } from './connect.ts'
import { apiToken, day, device, enrolCode, person, session, signInLink } from './schema.ts'

/** Access's tables in Postgres: the contract is server/access/store.ts. */
export function openAccessStore(sql: Sql): AccessStore {
  const db = drizzle({ client: sql.pool })
  const theDevice = {
    id: device.id,
    day: device.day,
    precinct: device.precinct,
    label: device.label,
    enrolledAt: device.enrolledAt,
    revokedAt: device.revokedAt,
  }
  const thePerson = { id: person.id, name: person.name, role: person.role }
  const first = <T>(rows: T[]): T | null => rows[0] ?? null

  return {
    deviceOfKey: async keyHash =>
      first(await db.select(theDevice).from(device).where(eq(device.keyHash, keyHash))),
    devicesOf: id =>
      db
        .select(theDevice)
        .from(device)
        .where(eq(device.day, id))
        .orderBy(asc(device.enrolledAt), asc(device.id)),
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
    spendCode: (hash, { id, label, keyHash, enrolledAt }) =>
      db.transaction(async tx => {
        // The row's lock makes the second of two callers wait and then see it used.
        const [code] = await tx
          .select({
            day: enrolCode.day,
            precinct: enrolCode.precinct,
            usedAt: enrolCode.usedAt,
            closedAt: day.closedAt,
          })
          .from(enrolCode)
          .innerJoin(day, eq(day.id, enrolCode.day))
          .where(eq(enrolCode.hash, hash))
          .for('update', { of: enrolCode })
        if (!code) return { ok: false, reason: 'wrong-code' } as const
        if (code.usedAt !== null) return { ok: false, reason: 'used-code' } as const
        if (code.closedAt !== null) return { ok: false, reason: 'day-closed' } as const
        await tx.update(enrolCode).set({ usedAt: enrolledAt }).where(eq(enrolCode.hash, hash))
        const fresh: Device = {
          id,
          day: code.day,
          precinct: code.precinct,
          label,
          enrolledAt,
          revokedAt: null,
        }
        await tx.insert(device).values({ ...fresh, keyHash })
        return { ok: true, device: fresh } as const
      }),

    addPerson: async ({ id, name, role }) => {
      await db
        .insert(person)
        .values({ id, name, role })
        .onConflictDoUpdate({ target: person.id, set: { name, role } })
    },
    people: async () =>
      (await db.select(thePerson).from(person)).sort((a, b) => a.name.localeCompare(b.name)),

    addLink: async link => {
      await db.insert(signInLink).values(link)
    },
    spendLink: (hash, fresh, at) =>
      db.transaction(async tx => {
        const [spent] = await tx
          .update(signInLink)
          .set({ usedAt: at })
          .where(and(eq(signInLink.hash, hash), isNull(signInLink.usedAt), gt(signInLink.expiresAt, at)))
          .returning({ person: signInLink.person })
        if (!spent) return null
        await tx.insert(session).values({ ...fresh, person: spent.person })
        return first(await tx.select(thePerson).from(person).where(eq(person.id, spent.person)))
      }),
    personOfSession: async (hash, at) =>
      first<Person>(
        await db
          .select(thePerson)
          .from(session)
          .innerJoin(person, eq(person.id, session.person))
          .where(and(eq(session.hash, hash), gt(session.expiresAt, at))),
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
        await db
          .select(thePerson)
          .from(apiToken)
          .innerJoin(person, eq(person.id, apiToken.person))
          .where(eq(apiToken.hash, hash)),
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
