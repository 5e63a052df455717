import { drizzleAdapter } from 'better-auth/adapters/drizzle'
import { and, asc, eq, isNull, sql } from 'drizzle-orm'
import { drizzle } from 'drizzle-orm/postgres-js'
import type { AccessStore } from '../server/access/store.ts'
import type { Sql } from './connect.ts'
import { peopleLogStore } from './peopleLog.ts'
import { peopleStore } from './peopleStore.ts'
import { credential, day, device, enrolCode, person, session } from './schema.ts'
import { sessionStore } from './sessionStore.ts'
import { tokenStore } from './tokenStore.ts'

/** A code as it stood when the statement began, and whether that statement has spent it. */
type Spending = {
  day: string
  precinct: string
  ok: boolean
  replaced: string | null
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
    replacedAt: device.replacedAt,
  }
  const first = <T>(rows: T[]): T | null => rows[0] ?? null

  return {
    ...peopleStore({ db, patiently }),
    ...sessionStore({ db, patiently }),
    ...tokenStore({ db, patiently }),
    ...peopleLogStore({ db, patiently }),

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
    spendCode: async (hash, { id, label, keyHash, enrolledAt }, beside) => {
      const fits = beside
        ? sql`c.day = ${beside.day} and c.precinct not in (select jsonb_array_elements_text(${JSON.stringify(beside.precincts)}::text::jsonb))`
        : sql`true`
      const [code] = await db.execute<Spending>(sql`
        with spent as (
          update ${enrolCode} c set used_at = ${enrolledAt}::bigint from ${day} d
          where c.hash = ${hash} and c.used_at is null and d.id = c.day and d.closed_at is null and ${fits}
          returning c.day, c.precinct, c.replaces
        ), made as (
          insert into ${device} (id, day, precinct, key_hash, label, enrolled_at)
          select ${id}, day, precinct, ${keyHash}, ${label}, ${enrolledAt}::bigint from spent
          returning id
        ), replaced as (
          update ${device} o set replaced_at = ${enrolledAt}::bigint from spent
          where o.id = spent.replaces and o.day = spent.day and o.precinct = spent.precinct and o.replaced_at is null
          returning o.id
        )
        select c.day, c.precinct, made.id is not null as ok, replaced.id as replaced, c.used_at as "usedAt", d.closed_at as "closedAt"
        from ${enrolCode} c join ${day} d on d.id = c.day left join made on true left join replaced on true
        where c.hash = ${hash}`)
      if (!code) return { ok: false, reason: 'wrong-code' }
      if (code.ok) {
        const { day, precinct, replaced } = code
        const fresh = { id, day, precinct, label, enrolledAt, revokedAt: null, replacedAt: null }
        return { ok: true, device: fresh, replaced }
      }
      // Seen unused, open and fit, and still not had: somebody was quicker.
      if (code.usedAt !== null) return { ok: false, reason: 'used-code' }
      if (code.closedAt !== null) return { ok: false, reason: 'day-closed' }
      if (beside && code.day !== beside.day) return { ok: false, reason: 'other-day' }
      return { ok: false, reason: beside?.precincts.includes(code.precinct) ? 'served-already' : 'used-code' }
    },

    identities: drizzleAdapter(db, {
      provider: 'pg',
      schema: { person, credential, session },
      transaction: false,
    }),
  }
}
