import type { Pace } from '../readiness/pace.ts'
import type { Ready } from '../readiness/ready.ts'
import type { Instant } from '../time.ts'
import type { Factor } from '../turnout/forecast.ts'
import type { CountFault } from '../turnout/sound.ts'

/** What is forecast of a day: the same on every node, in the replay and in the browser, from the same inputs. */
export type Forecasts = {
  /** The instant and the position of the entry that it was made at. */
  at: Instant
  position: number
  county: CountyForecast
  precincts: ReadonlyMap<string, PrecinctForecast>
}

/** Voters at closing: the middle, and the intervals that hold it 80 and 95 times in a hundred; all ≥ 0, whole. */
export type Interval = { total: number; low80: number; high80: number; low95: number; high95: number }

export type CountyForecast = Interval & {
  /** Voters checked in by the latest sound counts, each at its own instant. */
  came: number
  /** The same carried on to the forecast's instant: counts lag by up to an hour. */
  cameNow: number
  /** Signed percent against what the plan expected at those instants; null while too few are expected. */
  pace: number | null
  /** The arrival profile as today's counts have it: 120 shares that sum to 1. */
  profile: readonly number[]
  /** By what factor today's voters differ from the plan's figures, as the county's counts say (log scale). */
  factor: Factor
  /** How fast people open today (log scale). */
  openingPace: Pace
}

export type PrecinctForecast = {
  code: string
  /** Null: the polls are or were open, or nothing was heard. */
  ready: ReadyForecast | null
  /** Null: the polls have closed for good here. */
  turnout: TurnoutOutlook | null
  /** Null: nobody votes any more, or the line is forecast at the precinct that it is shared with. */
  line: LineForecast | null
  /** Null: no ballots were counted, or the count is too old to go by. */
  ballots: BallotsForecast | null
  /** Counts that can't be true beside the others, the latest three in their order; not used in any forecast. */
  faults: readonly CountFault[]
}

/** `latePeople`: how many are expected to come between the legal hour and being ready; their waiting, summed; both ≥ 0. */
export type ReadyForecast = Ready & { latePeople: number; lateVoterMinutes: number }

export type TurnoutOutlook = Interval & {
  /** The latest sound count; null: none. */
  came: { is: number; at: Instant } | null
  pace: number | null
  /** Voters expected in each quarter hour from now to closing: of the quarter that is under way what is left of it. */
  coming: readonly number[]
  /** Standard deviation of the logarithm of what is still to come. */
  logSd: number
}

export type Bottleneck = 'check-in' | 'booths' | 'tabulator'

export type LineForecast = {
  /** People in line now: reported, or reckoned on from what was; and what was reported last. */
  inLine: number
  said: { is: number; at: Instant } | null
  /** Minutes that who joins now will wait, ≥ 0. */
  waitNow: number
  /** Chance that a voter who comes within the next two hours waits longer than policy's long line, 0–1. */
  chance: number
  /** When that chance is highest, and how high; null where it stays under one in a hundred. */
  worst: { at: Instant; chance: number } | null
  /** The stage that is the slowest beside those who come. */
  bottleneck: Bottleneck
  /** Load of that stage over the next two hours: what comes ÷ what it can take; capped at 99. */
  load: number
  /** Expected waiting within policy's horizon, summed over voters, in minutes. */
  voterMinutes: number
  /**
   * Worked out with its chances in full; or by averages, since no long wait could come of it (`far-from-long`), it is
   * too large for the exact form (`averages`), or nobody gets through all stages within two hours (`blocked`: no
   * station works, voting is suspended, or no tabulator works and the slot isn't open).
   */
  how: 'exact' | 'far-from-long' | 'averages' | 'blocked'
  /** Minutes a check-in station takes for a voter, as seen today when busy, else as planned. */
  serviceMinutes: number
  /** Busy station-minutes that this was seen in; 0: planned. */
  seenMinutes: number
}

/** A point of a line's next two hours. People in line (mean, 80 % band) and the chance of a long wait. */
export type LineForecastPoint = { at: Instant; mean: number; low: number; high: number; over: number }

export type BallotsForecast = {
  /** Ballots left by the last count, less those used since; ≥ 0. */
  left: number
  countedAt: Instant
  /** Wanted until closing: the middle, and what nine in ten days stay under. */
  wanted: number
  wanted90: number
  /** P(the stock ends before closing), 0–1. */
  chance: number
  /** When it ends, by the middle, where that chance is at least a half; else null. */
  endsAt: Instant | null
  /**
   * The instant by which more must be there, so that the chance of running out before is policy's: of all ballots
   * together or of `style`, whichever is sooner; null: no need.
   */
  neededBy: Instant | null
  /** When who brings them must set out at the latest; null: no need, or the plan names no depot. */
  leaveBy: Instant | null
  /**
   * What it costs if nobody acts, in voter-minutes: those expected from `outFrom` to `outUntil` wait half of that time
   * each, times the chance of running out. 0 where that chance is slight. These three are of all ballots together,
   * or of `style` and those who need it, where it costs more voters a ballot (ballots/forecast.ts: costsMore).
   */
  voterMinutes: number
  /**
   * When the last ballot goes on the middle one of the days on which it goes before closing: no later than `endsAt`,
   * which is of all days; null: the chance is slight. And policy's horizon after it, at closing at the latest.
   */
  outFrom: Instant | null
  outUntil: Instant | null
  /** Where the plan has styles: the one most likely to run out. */
  style: { style: string; name: string; chance: number } | null
}

/** What if: more or fewer check-in stations, or a tabulator that works again at an instant. */
export type WhatIf = { stations?: number; tabulatorBackAt?: Instant }
