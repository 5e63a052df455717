import { and, asc, desc, eq, type SQL, sql } from 'drizzle-orm'
import { drizzle } from 'drizzle-orm/postgres-js'
import type { Dated, KeptAside } from '../server/domain/log/aside.ts'
import type { Problems } from '../server/domain/log/dayLog.ts'
import { parseEntry } from '../server/domain/log/text.ts'
import type { Instant } from '../server/domain/time.ts'
import type { Sql } from './connect.ts'
import { device, entry, refused } from './schema.ts'

/** What the desk said of a report kept aside: `at` is day time, `by` an opaque id. */
type AsideAnswer = { is: 'accepted' | 'left'; by: string | null; at: Instant }

export type RefusedReport = {
  source: string
  number: number
  receivedAt: Instant
  /** JSON as it was sent. */
  sent: string
  problems: Problems
  /** Of a tablet that was replaced, or under a number that was used before with other content: the desk may accept it. */
  aside: boolean
  /** The desk's answer; null: none yet. */
  answer: AsideAnswer | null
}

/** Names one report kept aside. `content`: fingerprint of what was sent, which a copied device may differ in. */
type AsideName = { device: string; number: number; content: number }
type AsideReport = AsideName & KeptAside & { label: string; receivedAt: Instant; answer: AsideAnswer | null }

export type RefusedReports = {
  /** Latest first. */
  refused(day: string, limit: number): Promise<RefusedReport[]>
  /** Of a precinct's devices, without the desk's answer: as they were received, and how many there are in all. */
  asideOpen(day: string, precinct: string, limit: number): Promise<{ open: number; reports: AsideReport[] }>
  /** Of a precinct's devices those that are named, answered or not. */
  asideNamed(day: string, precinct: string, names: readonly AsideName[]): Promise<AsideReport[]>
}

export function openRefused({ reader }: Sql): RefusedReports {
  const db = drizzle({ client: reader.client })
  /** The answer's entry: its source is `asideSource` of domain/log/aside.ts. */
  const itsAnswer = and(
    eq(entry.source, sql`'aside:' || substr(${refused.source}, 8) || ':' || ${refused.content}`),
    eq(entry.number, refused.number),
    eq(entry.day, refused.day),
  )
  const itsDevice = and(eq(refused.source, sql`'device:' || ${device.id}`), eq(refused.day, device.day))

  const asideWhere = (day: string, precinct: string, more: SQL) =>
    and(eq(refused.day, day), eq(refused.aside, true), eq(device.precinct, precinct), more)

  async function asides(day: string, precinct: string, more: SQL, limit: number): Promise<AsideReport[]> {
    const rows = await reader.patiently(() =>
      db
        .select({ of: refused, device: device.id, label: device.label, text: entry.text })
        .from(refused)
        .innerJoin(device, itsDevice)
        .leftJoin(entry, itsAnswer)
        .where(asideWhere(day, precinct, more))
        .orderBy(asc(refused.receivedAt), asc(device.id), asc(refused.number), asc(refused.content))
        .limit(limit),
    )
    return rows.map(({ of, device, label, text }) => ({
      device,
      label,
      number: of.number,
      content: Number(of.content),
      receivedAt: of.receivedAt,
      sent: of.sent,
      problems: JSON.parse(of.problems) as Problems,
      dated: of.dated === null ? null : (JSON.parse(of.dated) as Dated),
      answer: answerOf(text),
    }))
  }

  return {
    refused: async (day, limit) => {
      const rows = await reader.patiently(() =>
        db
          .select({ of: refused, text: entry.text })
          .from(refused)
          .leftJoin(entry, itsAnswer)
          .where(eq(refused.day, day))
          .orderBy(desc(refused.receivedAt), desc(refused.number))
          .limit(limit),
      )
      return rows.map(({ of: { source, number, receivedAt, sent, problems, aside }, text }) => ({
        source,
        number,
        receivedAt,
        sent,
        problems: JSON.parse(problems) as Problems,
        aside,
        answer: answerOf(text),
      }))
    },
    asideOpen: async (day, precinct, limit) => {
      const unanswered = sql`${entry.text} is null`
      const reports = await asides(day, precinct, unanswered, limit)
      if (reports.length < limit) return { open: reports.length, reports }
      const [counted] = await reader.patiently(() =>
        db
          .select({ open: sql<number>`count(*)::int` })
          .from(refused)
          .innerJoin(device, itsDevice)
          .leftJoin(entry, itsAnswer)
          .where(asideWhere(day, precinct, unanswered)),
      )
      return { open: counted?.open ?? 0, reports }
    },
    asideNamed: async (day, precinct, names) => {
      const wanted = JSON.stringify(names)
      const named = sql`(${device.id}, ${refused.number}, ${refused.content}) in (
        select * from jsonb_to_recordset(${wanted}::text::jsonb) as n (device text, number bigint, content bigint))`
      return asides(day, precinct, named, names.length)
    },
  }
}

function answerOf(text: string | null): AsideAnswer | null {
  if (text === null) return null
  const { kind, origin, recordedAt } = parseEntry(text)
  const is = kind === 'AsideLeft' ? 'left' : 'accepted'
  return { is, by: origin.acceptedBy ?? origin.wrote ?? null, at: recordedAt }
}
