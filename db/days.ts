import { and, asc, eq, isNull, sql } from 'drizzle-orm'
import { drizzle } from 'drizzle-orm/postgres-js'
import { type Plan, plan as planSchema } from '../server/domain/plan/plan.ts'
import type { Instant } from '../server/domain/time.ts'
import type { Sql } from './connect.ts'
import { openRefused, type RefusedReports } from './keptAside.ts'
import { day, head, plan } from './schema.ts'

/**
 * A day as it stands beside its log. `openedAt` and `closedAt` are wall time, `clockAt` is day time. Not opened: its
 * plan is kept, and no server runs it before somebody opens it, or first practises it.
 */
export type DayRecord = {
  id: string
  county: string
  name: string
  kind: 'election' | 'practice'
  /** YYYY-MM-DD in the county's time zone. */
  date: string
  timeZone: string
  planHash: string
  openedAt: number | null
  closedAt: number | null
  /** Day seconds per second; 1 on a real day. */
  speed: number
  /** Where the practice clock stood when it was last saved; null: never. */
  clockAt: Instant | null
  seed: number | null
}

export type Days = RefusedReports & {
  /** By date, then id. */
  list(): Promise<DayRecord[]>
  get(id: string): Promise<DayRecord | null>
  /** Makes the day with its empty log. Where the id is there already, nothing changes and that day is returned. */
  create(fresh: Omit<DayRecord, 'closedAt' | 'speed' | 'clockAt'>): Promise<DayRecord>
  /** Gives a day that was never run another plan; false: its log has entries, so its plan stands. */
  replan(fresh: Omit<DayRecord, 'closedAt' | 'speed' | 'clockAt'>, json: string): Promise<boolean>
  /** Notes when a day was first opened or practised, and the seed of a practice day that had none. */
  open(id: string, at: number, seed?: number): Promise<DayRecord | null>
  /** Whether its log has an entry. */
  begun(id: string): Promise<boolean>
  /** false: it was closed before, or there is none. */
  close(id: string, at: number): Promise<boolean>
  saveClock(id: string, clockAt: Instant, speed: number): Promise<void>
  /** Kept by hash, so the same plan is kept once. */
  savePlan(hash: string, json: string): Promise<void>
  /** Throws where there is none: a day can't be without its plan. */
  plan(hash: string): Promise<Plan>
}

export function openDays(sqls: Sql): Days {
  const { reader, begin } = sqls
  const db = drizzle({ client: reader.client })
  const get = async (id: string) =>
    (await reader.patiently(() => db.select().from(day).where(eq(day.id, id))))[0] ?? null
  return {
    ...openRefused(sqls),
    list: () => reader.patiently(() => db.select().from(day).orderBy(asc(day.date), asc(day.id))),
    get,
    create: async fresh => {
      // One statement: no day is ever without its head.
      const made = db.$with('made').as(db.insert(day).values(fresh).onConflictDoNothing().returning())
      await reader.patiently(() =>
        db
          .with(made)
          .insert(head)
          .select(tx =>
            tx
              .select({
                day: made.id,
                position: sql<number>`0`.as('position'),
                hash: sql<string>`repeat('0', 64)`.as('hash'),
                recordedAt: sql<number>`0`.as('recorded_at'),
                revision: sql<number>`0`.as('revision'),
              })
              .from(made),
          ),
      )
      return (await get(fresh.id))!
    },
    replan: (fresh, json) =>
      begin(async tx => {
        // Under the head's lock, so that the day isn't opened in between.
        const [log] = await tx<{ position: number }[]>`
          select position from head where day = ${fresh.id} for update`
        if (!log || log.position > 0) return false
        await tx`insert into plan (hash, json, imported_at) values (${fresh.planHash}, ${json}, ${Date.now()})
          on conflict do nothing`
        await tx`update day set county = ${fresh.county}, name = ${fresh.name}, kind = ${fresh.kind},
          date = ${fresh.date}, time_zone = ${fresh.timeZone}, plan_hash = ${fresh.planHash} where id = ${fresh.id}`
        return true
      }),
    open: async (id, at, seed) => {
      const was = {
        openedAt: sql`coalesce(${day.openedAt}, ${at}::bigint)`,
        seed: sql`coalesce(${day.seed}, ${seed ?? null}::bigint)`,
      }
      await reader.patiently(() =>
        db
          .update(day)
          .set(was)
          .where(and(eq(day.id, id), isNull(day.closedAt))),
      )
      return get(id)
    },
    begun: async id => {
      const [row] = await reader.patiently(() =>
        db.select({ position: head.position }).from(head).where(eq(head.day, id)),
      )
      return (row?.position ?? 0) > 0
    },
    close: async (id, at) => {
      const closed = await db
        .update(day)
        .set({ closedAt: at })
        .where(and(eq(day.id, id), isNull(day.closedAt)))
        .returning({ id: day.id })
      return closed.length > 0
    },
    saveClock: async (id, clockAt, speed) => {
      await reader.patiently(() => db.update(day).set({ clockAt, speed }).where(eq(day.id, id)))
    },
    savePlan: async (hash, json) => {
      const fresh = { hash, json, importedAt: Date.now() }
      await reader.patiently(() => db.insert(plan).values(fresh).onConflictDoNothing())
    },
    plan: async hash => {
      const [row] = await reader.patiently(() => db.select().from(plan).where(eq(plan.hash, hash)))
      if (!row) throw new Error(`there is no plan ${hash}`)
      return planSchema.parse(JSON.parse(row.json))
    },
  }
}
