import type { Head, Verification } from '../../server/domain/log/dayLog.ts'
import type { Query } from '../connect.ts'
import { chainHash, detailHash } from './dayBatch.ts'

const PAGE = 2_000
const START = '0'.repeat(64)

type Row = {
  position: number
  source: string
  number: number | null
  precinct: string | null
  recordedAt: number
  text: string
  hash: string
  salt: string | null
  words: string | null
}

type Written = {
  day: string
  position: number
  kind: string
  precinct: string | null
  source: string
  number: number | null
  recordedAt: string
  origin: { detailHash?: string }
  body: { position?: number }
}

/**
 * Recomputes a day's chain from the stored texts, a page at a time. Names the first position that was altered or
 * is missing; then looks whether the head agrees and whether the words beside the log are the ones its entries
 * speak of. It needs no transaction: the head and the end of the log are looked at together, in one statement;
 * nothing up to there changes any more but by an erasure, whose entry then stands after that end.
 *
 * What it can't see: a log that was rewritten or shortened together with its head. That shows against the head's
 * position and hash on paper.
 */
export async function verifyDay(sql: Query, day: string): Promise<Verification> {
  const [head] = await sql<(Head & { last: number })[]>`
    select position, hash, recorded_at as "recordedAt",
           coalesce((select max(position) from entry where day = ${day}), 0) as last
    from head where day = ${day}`
  if (!head) throw new Error(`there is no day ${day}`)
  let position = 0
  let hash = START
  let recordedAt = 0
  /** Entries whose words are gone, until an erasure is found that says so. */
  const wordless = new Set<number>()
  for (;;) {
    const rows = await page(sql, day, position, head.last)
    for (const row of rows) {
      if (row.position !== position + 1) return missing(position + 1)
      const computed = chainHash(hash, row.text)
      const written = read(row.text)
      if (computed !== row.hash || !written || !agrees(day, row, written) || row.recordedAt < recordedAt)
        return {
          ok: false,
          position: row.position,
          problem: 'altered',
          message: `entry ${row.position} was altered`,
        }
      const expected = written.origin.detailHash
      if (row.words !== null && detailHash(row.salt ?? '', row.words) !== expected)
        return detailAltered(row.position, 'are not the ones it was written with')
      if (expected !== undefined && row.words === null) wordless.add(row.position)
      forget(wordless, written)
      position = row.position
      hash = computed
      recordedAt = row.recordedAt
    }
    if (rows.length < PAGE) break
  }
  if (position < head.position) return missing(position + 1)
  if (position > head.position || hash !== head.hash)
    return {
      ok: false,
      position: head.position + (position > head.position ? 1 : 0),
      problem: 'head-differs',
      message: `the log ends at ${position} with ${hash}, its head says ${head.position} with ${head.hash}`,
    }
  if (wordless.size > 0)
    for (const { text } of await erasuresAfter(sql, day, head.last)) forget(wordless, read(text))
  const [lost] = [...wordless].sort((a, b) => a - b)
  if (lost !== undefined) return detailAltered(lost, 'are gone and no entry says that they were erased')
  return { ok: true, entries: position, head: { position, hash, recordedAt: head.recordedAt } }
}

function page(sql: Query, day: string, after: number, last: number): Promise<Row[]> {
  return sql<Row[]>`
    select e.position, e.source, e.number, e.precinct, e.recorded_at as "recordedAt", e.text, e.hash, d.salt, d.words
    from entry e left join detail d on d.day = e.day and d.position = e.position
    where e.day = ${day} and e.position > ${after} and e.position <= ${last}
    order by e.position limit ${PAGE}`
}

function erasuresAfter(sql: Query, day: string, last: number): Promise<{ text: string }[]> {
  return sql<{ text: string }[]>`
    select text from entry
    where day = ${day} and position > ${last} and text like '%"DetailErased"%' order by position`
}

/** An erasure accounts for words that are gone. */
function forget(wordless: Set<number>, written: Written | null): void {
  if (written?.kind === 'DetailErased' && written.body.position) wordless.delete(written.body.position)
}

function read(text: string): Written | null {
  try {
    return JSON.parse(text) as Written
  } catch {
    return null
  }
}

/** The columns beside the text are what the program looks things up by: they must say the same. */
function agrees(day: string, row: Row, written: Written): boolean {
  return (
    written.day === day &&
    written.position === row.position &&
    written.source === row.source &&
    written.number === row.number &&
    written.precinct === row.precinct &&
    Date.parse(written.recordedAt) === row.recordedAt
  )
}

function missing(position: number): Verification {
  return { ok: false, position, problem: 'missing', message: `entry ${position} is missing` }
}

function detailAltered(position: number, what: string): Verification {
  return {
    ok: false,
    position,
    problem: 'detail-altered',
    message: `the words beside entry ${position} ${what}`,
  }
}
