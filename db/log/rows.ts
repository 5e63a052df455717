import type { Dated } from '../../server/domain/log/aside.ts'
import { LogDamaged, type Problems, type Stored } from '../../server/domain/log/dayLog.ts'
import type { Detail } from '../../server/domain/log/entry.ts'
import { parseEntry } from '../../server/domain/log/text.ts'
import type { Query, Tx } from '../connect.ts'
import type { HeadRow } from './channel.ts'

/** The log's statements. Hand-written: through the query builder the intake runs at a third of the speed. */

export type RefusedRow = {
  source: string
  number: number
  content: bigint
  sent: string
  problems: Problems
  aside: boolean
  dated: Dated | null
}
export type DetailRow = { position: number; salt: string; words: string }

/** Entries read at once. */
export const PAGE = 1_000

/** The heads of these days, locked until the transaction ends, in the order of their ids so that two writers never lock each other out. */
export async function lockHeads(tx: Tx, days: string[]): Promise<Map<string, HeadRow>> {
  const rows = await tx<HeadRow[]>`
    select day, position, hash, recorded_at as "recordedAt", revision
    from head where day = any(${days}) order by day for update`
  return new Map(rows.map(row => [row.day, row]))
}

/**
 * One statement for many entries that follow each other. Columns travel as lines of one text each (no field holds
 * a line break: JSON escapes them), which the database takes apart several times faster than arrays.
 */
export function insertEntries(
  tx: Tx,
  day: string,
  recordedAt: number,
  stored: Stored[],
  contents: (bigint | null)[],
): Promise<unknown> {
  const first = stored[0]!.entry.position
  return tx`
    insert into entry (day, position, source, number, content, precinct, recorded_at, text, hash)
    select ${day}, ${first - 1}::bigint + o, s, n, c, p, ${recordedAt}::bigint, t, h
    from unnest(
      string_to_array(${lines(stored, s => s.entry.source)}, E'\n'),
      string_to_array(${lines(stored, s => s.entry.number)}, E'\n', '')::bigint[],
      string_to_array(${lines(contents, c => c)}, E'\n', '')::bigint[],
      string_to_array(${lines(stored, s => s.entry.precinct)}, E'\n', ''),
      string_to_array(${lines(stored, s => s.text)}, E'\n'),
      string_to_array(${lines(stored, s => s.hash)}, E'\n')
    ) with ordinality as u (s, n, c, p, t, h, o)`
}

/** One value a line; null is an empty line. */
function lines<T>(rows: T[], value: (row: T) => string | number | bigint | null): string {
  let text = ''
  for (let i = 0; i < rows.length; i++) {
    const v = value(rows[i]!)
    text += i === 0 ? (v ?? '') : `\n${v ?? ''}`
  }
  return text
}

export function insertDetails(tx: Tx, day: string, rows: DetailRow[]): Promise<unknown> {
  return tx`
    insert into detail (day, position, salt, words)
    select ${day}, p, s, w from unnest(
      ${rows.map(r => r.position)}::bigint[], ${rows.map(r => r.salt)}::text[], ${rows.map(r => r.words)}::text[]
    ) as u (p, s, w)`
}

/** What was refused before with the same content stands already. */
export function insertRefused(tx: Tx, day: string, receivedAt: number, rows: RefusedRow[]): Promise<unknown> {
  return tx`
    insert into refused (day, source, number, content, received_at, sent, problems, aside, dated)
    select ${day}, s, n, c, ${receivedAt}::bigint, t, p, a, d from unnest(
      ${rows.map(r => r.source)}::text[], ${rows.map(r => r.number)}::bigint[],
      ${rows.map(r => String(r.content))}::text[]::bigint[], ${rows.map(r => r.sent)}::text[],
      ${rows.map(r => JSON.stringify(r.problems))}::text[], ${rows.map(r => String(r.aside))}::text[]::boolean[],
      ${rows.map(r => r.dated && JSON.stringify(r.dated))}::text[]
    ) as u (s, n, c, t, p, a, d)
    on conflict do nothing`
}

export function updateHead(
  tx: Tx,
  day: string,
  head: { position: number; hash: string; recordedAt: number },
): Promise<unknown> {
  return tx`
    update head set position = ${head.position}, hash = ${head.hash}, recorded_at = ${head.recordedAt},
                    revision = revision + 1
    where day = ${day}`
}

/** Highest number dealt with of each source, accepted or refused; 0: none. */
export async function cursorsOf(sql: Query, day: string, sources: string[]): Promise<Map<string, number>> {
  const rows = await sql<{ source: string; upTo: number }[]>`
    select s as source, greatest(
      0,
      (select max(number) from entry where day = ${day} and source = s),
      (select max(number) from refused where day = ${day} and source = s)
    ) as "upTo"
    from unnest(${sources}::text[]) as s`
  return new Map(rows.map(row => [row.source, row.upTo]))
}

export type Known = { content: bigint | null; problems: Problems | null }

/** What is kept under these numbers: one entry at most, and what was refused. The key is source, line break, number. */
export async function knownNumbers(
  tx: Tx,
  day: string,
  asked: Array<{ source: string; number: number }>,
): Promise<Map<string, Known[]>> {
  const sources = asked.map(a => a.source)
  const numbers = asked.map(a => a.number)
  const rows = await tx<
    { source: string; number: number; content: string | null; problems: string | null }[]
  >`
    with asked as (select distinct s, n from unnest(${sources}::text[], ${numbers}::bigint[]) as u (s, n))
    select e.source, e.number, e.content::text, null as problems
    from asked join entry e on e.day = ${day} and e.source = s and e.number = n
    union all
    select r.source, r.number, r.content::text, r.problems
    from asked join refused r on r.day = ${day} and r.source = s and r.number = n`
  const known = new Map<string, Known[]>()
  for (const row of rows) {
    const key = `${row.source}\n${row.number}`
    const one = {
      content: row.content === null ? null : BigInt(row.content),
      problems: row.problems === null ? null : (JSON.parse(row.problems) as Problems),
    }
    known.set(key, [...(known.get(key) ?? []), one])
  }
  return known
}

type Read = { text: string; hash: string; words: string | null }

const stored = ({ text, hash, words }: Read): Stored =>
  words === null
    ? { entry: parseEntry(text), text, hash }
    : { entry: parseEntry(text), text, hash, detail: JSON.parse(words) as Detail }

/** At most `limit` entries after a position, ascending. */
export async function readEntries(sql: Query, day: string, after: number, limit = PAGE): Promise<Stored[]> {
  const rows = await sql<Read[]>`
    select e.text, e.hash, d.words
    from entry e left join detail d on d.day = e.day and d.position = e.position
    where e.day = ${day} and e.position > ${after} order by e.position limit ${limit}`
  return rows.map(stored)
}

/**
 * The next page of a log that is known to reach up to `end`, for whoever folds it.
 * @throws LogDamaged where an entry of it is missing
 */
export async function readOn(sql: Query, day: string, after: number, end: number): Promise<Stored[]> {
  const entries = await readEntries(sql, day, after)
  if (entries.length === 0 && after < end) throw new LogDamaged(day, after + 1)
  entries.forEach(({ entry }, i) => {
    if (entry.position !== after + 1 + i) throw new LogDamaged(day, after + 1 + i)
  })
  return entries
}

/** At most `limit` entries of one precinct before a position, latest first. */
export async function readPrecinctEntries(
  sql: Query,
  day: string,
  precinct: string,
  limit: number,
  before: number,
): Promise<Stored[]> {
  const rows = await sql<Read[]>`
    select e.text, e.hash, d.words
    from entry e left join detail d on d.day = e.day and d.position = e.position
    where e.day = ${day} and e.precinct = ${precinct} and e.position < ${before}
    order by e.position desc limit ${limit}`
  return rows.map(stored)
}
