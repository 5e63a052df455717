import type { NetworkStep } from '../readiness/network.ts'
import type { Instant } from '../time.ts'
import type { Count } from '../turnout/sound.ts'

/**
 * What forecasts are made from: plain data, gathered from a state (gather.ts), so that a worker thread, a browser
 * and a test reckon the same from it. Nothing else is looked at; the hour is part of it.
 */

/** What of the plan and the hour the forecast of every precinct needs. */
export type DayInput = {
  /** The instant that the forecast is for: of the entry that it was made at. */
  at: Instant
  midnight: Instant
  reportAt: Instant
  opensAt: Instant
  closesAt: Instant
  /** Planned share of the day's voters per quarter hour since midnight: 120 numbers that sum to 1. */
  profile: readonly number[]
  policy: ForecastPolicy
  /** Opening steps; precincts differ in which apply, and name theirs by its place in this list. */
  networks: readonly (readonly NetworkStep[])[]
}

/** The settings of the plan's policy that forecasts go by; see plan/policy.ts. */
type ForecastPolicy = {
  checkInMinutes: number
  markMinutes: number
  tabulateSeconds: number
  longLineMinutes: number
  countEveryMinutes: number
  ballotsMargin: number
  ballotsChance: number
  horizonMinutes: number
  unknown: { turnout: number; precinct: number; profile: number }
}

export type PrecinctInput = {
  code: string
  /** Voters planned for the day. */
  expected: number
  /** A vote center: it has arrivals, and no turnout of its own. */
  everyone: boolean
  /**
   * Its opening steps (a place in DayInput.networks) and those done; null: the polls are or were open, it was never
   * heard, or an opening tape stands rejected: when that is settled nobody can tell.
   */
  opening: { network: number; done: Readonly<Record<string, Instant>> } | null
  /** When voting began; null: it hasn't. */
  openedAt: Instant | null
  /** Voting ended: nobody comes any more. */
  closed: boolean
  /** It is recorded as silent: how things stand there now isn't known, so no line is forecast. */
  silent: boolean
  /** Stretches of the voting hours in which nobody could vote; `to` null: it still can't be done. */
  suspended: ReadonlyArray<{ from: Instant; to: Instant | null }>
  /** Running counts of voters checked in, in order of time. */
  counts: readonly Count[]
  /** Lines reported, in order of time. */
  lines: ReadonlyArray<{ at: Instant; is: number }>
  /** First of the precincts that stand in one line with this one; null: a line of its own. */
  lineOf: string | null
  /** `history`: how many were said to work, in order of time; before it those planned. */
  stations: {
    planned: number
    working: number
    asOf: Instant | null
    history: ReadonlyArray<{ at: Instant; is: number }>
  }
  booths: number
  tabulators: { all: number; working: number; asOf: Instant | null }
  /** The emergency slot takes the ballots, or they are counted elsewhere: nobody waits for a tabulator. */
  unscanned: boolean
  /** Sheets of a ballot. */
  sheets: number
  ballots: { left: number; at: Instant } | null
  /** Ballot styles of the plan: share of this precinct's voters who need it, and ballots delivered. */
  styles: ReadonlyArray<{ style: string; name: string; share: number; ballots: number }>
  /** Minutes by road from where ballots are kept; null: the plan names no depot. */
  tripMinutes: number | null
}
