import { z } from 'zod'
import type { BoardNotice } from '../domain/day/notices.ts'
import type { BoardRow, CallLine } from '../domain/day/row.ts'
import type { Errand } from '../domain/day/state.ts'
import type { CountyForecast } from '../domain/forecast/forecast.ts'
import type { DayInput, PrecinctInput } from '../domain/forecast/input.ts'
import type { BoardForecasts } from '../domain/forecast/onBoard.ts'
import type { PlanBrief, RoverBrief } from '../domain/plan/brief.ts'

/** The still part of a snapshot is the domain's brief of the plan, as it is. */
export type { PlanBrief, RoverBrief }

/**
 * What a board asks for. It is answered with patches where the log of this server holds, at the board's cursor, the
 * very entry that the board stood on; else (also without `hash`) with a fresh snapshot. So a board that saw what a
 * restored log no longer holds is never brought on from there (P4).
 */
export const subscribeRequest = z.strictObject({
  day: z.string().max(80),
  cursor: z.int().min(0).optional(),
  /** Identity of the log that the cursor belongs to. */
  log: z.string().max(80).optional(),
  /** `head.hash` of the board's last picture or patch: the hash of the entry at its cursor. */
  hash: z.string().max(64).optional(),
})

export type LogHead = { position: number; hash: string }

export type Snapshot = {
  log: string
  cursor: number
  head: LogHead
  /** Day time at the moment of sending, and how fast it runs. */
  now: number
  speed: number
  plan: PlanBrief
  rows: BoardRow[]
  calls: CallLine[]
  /** In the order of their assigning; see DayState.errands. */
  errands: Errand[]
  /** The latest notices of the desk, oldest first, without their words. */
  notices: BoardNotice[]
  /** Display names of people at the desk, by id. */
  people: Record<string, string>
  /** The latest forecasts; null: none are made yet, or this is a picture that is asked for them by itself. */
  forecasts: BoardForecasts | null
}

/** Brings a board from cursor `from` to `to`. A board whose cursor isn't `from` asks for a snapshot instead. */
export type Patch = {
  log: string
  from: number
  to: number
  head: LogHead
  now: number
  speed: number
  /** Rows that changed, whole. */
  rows: BoardRow[]
  /** The whole list where it changed; absent where it didn't. */
  calls?: CallLine[]
  /** Errands that changed, whole; see joinErrands in domain/day/errand.ts. Absent where none did. */
  errands?: Errand[]
  /** Notices that are new or were read by more; see joinNotices in domain/day/notices.ts. Absent where none. */
  notices?: BoardNotice[]
  people?: Record<string, string>
  /** Where there are newer ones: the county's, and of the precincts those that changed. */
  forecasts?: BoardForecasts
}

export type SubscribeAnswer =
  | { ok: true; snapshot: Snapshot }
  | { ok: true; patches: Patch[] }
  | { ok: false; problems: Array<{ path: string; message: string }> }

/** On demand for the drawer: GET /api/v1/days/{day}/precincts/{code}. */
export type PrecinctDetail = {
  code: string
  place: { name: string; address: string; phone: string | null }
  contacts: Array<{ role: string; name: string; phone: string }>
  /** Latest first, at most 100. */
  entries: EntryOnWire[]
}

/**
 * What a precinct's forecast is made from, so that its page can reckon it anew, with its bands and with what if:
 * GET /api/v1/days/{day}/precincts/{code}/forecast. `together`: the precincts that stand in one line with it.
 */
export type ForecastInputs = {
  position: number
  day: DayInput
  county: CountyForecast
  input: PrecinctInput
  together: PrecinctInput[]
}

/** Whom to ring, of every precinct, for the situation sheet: GET /api/v1/days/{day}/phones. By precinct code. */
export type Phones = { phones: Record<string, Array<{ role: string; name: string; phone: string }>> }

/** An entry as programs and the drawer get it (also /api/v1/days/{day}/log). Times RFC 3339. */
export type EntryOnWire = {
  position: number
  kind: string
  version: number
  precinct: string | null
  source: string
  number: number | null
  occurredAt: string
  recordedAt: string
  origin: Record<string, unknown>
  body: Record<string, unknown>
  /** The erasable words; absent where there are none or they were erased. */
  detail?: Record<string, string>
  hash: string
}
