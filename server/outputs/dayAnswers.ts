import { reasonWords } from '../domain/calls/words.ts'
import { isVerdict } from '../domain/day/fold.ts'
import type { BoardRow, CallLine } from '../domain/day/row.ts'
import type { DayState } from '../domain/day/state.ts'
import type { DayLogReader, Stored } from '../domain/log/dayLog.ts'
import type { PlanIndex } from '../domain/plan/brief.ts'
import { toRfc3339 } from '../domain/time.ts'
import type { EntryOnWire, LogHead, Phones, PrecinctDetail } from '../protocol/board.ts'
import { type Role, roleSeesContacts } from '../protocol/roles.ts'
import { wireEntry } from './wireEntry.ts'
import { picturedFor } from './withoutSeals.ts'

/** What programs are told of a running day. Pure but for reading the log through its door. */

export type AnsweredDay = {
  day: string
  index: PlanIndex
  now(): number
  speed(): number
  cursor(): number
  head(): LogHead
  rows(): BoardRow[]
  calls(): CallLine[]
  state(): DayState
}

export function boardAnswer(day: AnsweredDay, role: Role) {
  return {
    cursor: day.cursor(),
    head: day.head(),
    now: toRfc3339(day.now()),
    speed: day.speed(),
    precincts: picturedFor(role, { rows: day.rows() }).rows.map(row => ({
      name: day.index.precincts.get(row.code)?.precinct.name ?? row.code,
      ...row,
      heardAt: text(row.heardAt),
      silentSince: text(row.silentSince),
      openedAt: text(row.openedAt),
      closedAt: text(row.closedAt),
      departedAt: text(row.departedAt),
      receivedAt: text(row.receivedAt),
    })),
  }
}

export function callsAnswer(day: AnsweredDay, nameOf: (person: string) => string) {
  const now = day.now()
  return {
    calls: day.calls().map(line => ({
      precinct: line.precincts.length === 1 ? line.precincts[0] : null,
      precincts: line.precincts,
      tier: line.tier,
      voterMinutes: line.voterMinutes,
      since: toRfc3339(line.since),
      reasons: line.reasons.map(reason => {
        const words = reasonWords(reason, day.index.brief, now)
        return {
          rule: reason.rule,
          tier: reason.tier,
          since: toRfc3339(reason.since),
          raisedAt: toRfc3339(reason.raisedAt),
          text: words.fact,
          ask: words.ask,
          ends: words.ends,
          voterMinutes: reason.voterMinutes,
          evidence: reason.evidence,
        }
      }),
      takenBy: line.call.takenBy === null ? null : nameOf(line.call.takenBy),
      backUntil: text(line.call.backUntil),
      steppedBack: line.steppedBack,
    })),
  }
}

/** Entries of one precinct, its place and, for those who make the calls, its contacts. */
export function phonesAnswer(day: AnsweredDay): Phones {
  const phones: Phones['phones'] = {}
  for (const [code, { contacts, place }] of day.index.precincts) {
    phones[code] = contacts.map(({ role, name, phone }) => ({ role, name, phone }))
    if (place.phone) phones[code].push({ role: 'place', name: place.name, phone: place.phone })
  }
  return { phones }
}

export async function precinctAnswer(
  day: Pick<AnsweredDay, 'day' | 'index'>,
  log: DayLogReader,
  code: string,
  role: Role,
  until: Until | null = null,
): Promise<PrecinctDetail | null> {
  const planned = day.index.precincts.get(code)
  if (!planned) return null
  const entries = await latestOf(day.day, log, code, until)
  const seesContacts = roleSeesContacts(role)
  return {
    code,
    place: {
      name: planned.place.name,
      address: planned.place.address,
      phone: seesContacts ? (planned.place.phone ?? null) : null,
    },
    contacts: seesContacts ? planned.contacts.map(({ role, name, phone }) => ({ role, name, phone })) : [],
    entries: entries.map(stored => wireEntry(stored, role)),
  }
}

/** Up to an instant: the first `position` entries as known, or whatever had happened by `at`, whenever it was told. */
export type Until = { view: 'known'; position: number } | { view: 'happened'; at: number }

const LATEST = 100
/** Entries of a precinct that are looked through at once for those that had happened. */
const LOOKED_THROUGH = 500

/** Latest first: by position, as happened by when it happened. */
async function latestOf(
  day: string,
  log: DayLogReader,
  code: string,
  until: Until | null,
): Promise<Stored[]> {
  if (until === null) return log.readPrecinct(day, code, LATEST)
  if (until.view === 'known') return log.readPrecinct(day, code, LATEST, until.position + 1)
  const happened: Stored[] = []
  for (let before = Number.MAX_SAFE_INTEGER; ; ) {
    const page = await log.readPrecinct(day, code, LOOKED_THROUGH, before)
    for (const stored of page)
      if (stored.entry.occurredAt <= until.at && !isVerdict(stored.entry)) happened.push(stored)
    if (page.length < LOOKED_THROUGH) break
    before = page.at(-1)!.entry.position
  }
  const order = (a: Stored, b: Stored) =>
    b.entry.occurredAt - a.entry.occurredAt || b.entry.position - a.entry.position
  return happened.sort(order).slice(0, LATEST)
}

/** At most 1,000 entries a page. */
export async function logAnswer(
  day: AnsweredDay,
  log: DayLogReader,
  after: number,
  limit: number,
  role: Role,
): Promise<{ entries: EntryOnWire[]; head: LogHead }> {
  const entries = await log.read(day.day, after, Math.min(limit, 1_000))
  return { entries: entries.map(stored => wireEntry(stored, role)), head: day.head() }
}

function text(at: number | null): string | null {
  return at === null ? null : toRfc3339(at)
}
