import { type SQL, sql } from 'drizzle-orm'
import type { Author, RecordedChange } from '../server/access/access.ts'
import type { AccessStore } from '../server/access/store.ts'
import type { Asking } from './peopleStore.ts'
import { apiToken, day, peopleLog, person } from './schema.ts'

/**
 * Records a change by the statement that makes it: a part `recorded as (…)` for its `with`. `from`: the rows of that
 * statement that say what was changed, one a record; `kind`, `about` and `what` are made of their columns.
 */
export function recorded(
  from: SQL,
  change: { at: number; by: SQL | Author; kind: SQL | RecordedChange['kind']; about: SQL; what: SQL },
): SQL {
  const { at, by, kind, about, what } = change
  return sql`recorded as (
    insert into ${peopleLog} (at, by, kind, about, what)
    select ${at}::bigint, ${typeof by === 'string' ? sql`${by}::text` : by},
      ${typeof kind === 'string' ? sql`${kind}::text` : kind}, ${about}, jsonb_strip_nulls(${what})
    from ${from}
  )`
}

/** How a person began: of a row with `role` and `post`. */
export const begun = sql`jsonb_build_object('role', role, 'post', post)`

/** What differs: of a row with `name`, `role`, `post` and the same as they were before, and `sessions` that ended. */
export const difference = sql`jsonb_build_object(
  'role', case when was_role <> role then jsonb_build_object('was', was_role, 'is', role) end,
  'post', case when was_post is distinct from post then jsonb_build_object('was', was_post, 'is', post) end,
  'name', case when was_name <> name then true end,
  'sessionsEnded', nullif(sessions, 0))`

/** The record, read. */
export function peopleLogStore({ db, patiently }: Asking): Pick<AccessStore, 'changes'> {
  return {
    async changes({ before = null, limit }) {
      type Row = Pick<RecordedChange, 'position' | 'at' | 'kind' | 'what'> & {
        by: string
        byName: string | null
        about: string
        aboutName: string | null
      }
      const rows = await patiently(() =>
        db.execute<Row>(sql`
          select l.position, l.at, l.kind, l.what, l.by, b.name as "byName",
            l.about, coalesce(a.name, t.label) as "aboutName"
          from ${peopleLog} l left join ${person} b on b.id = l.by
            left join ${person} a on a.id = l.about left join ${apiToken} t on t.id = l.about
          where ${before}::bigint is null or l.position < ${before}::bigint
          order by l.position desc limit ${limit + 1}`),
      )
      const [zone] = await patiently(() =>
        db.execute<{ zone: string }>(
          sql`select time_zone as zone from ${day} order by date desc, id limit 1`,
        ),
      )
      return {
        changes: rows.slice(0, limit).map(
          ({ by, byName, about, aboutName, ...change }) =>
            ({
              ...change,
              by: { id: by, name: byName },
              about: { id: about, name: aboutName },
            }) as RecordedChange,
        ),
        more: rows.length > limit,
        timeZone: zone?.zone ?? null,
      }
    },
  }
}
