import { dayForecasts } from '../../server/domain/forecast/day.ts'
import type { PrecinctForecast } from '../../server/domain/forecast/forecast.ts'
import { HOUR, MINUTE } from '../../server/domain/time.ts'
import { countyForecast } from '../../server/domain/turnout/county.ts'
import { turnoutOutlook } from '../../server/domain/turnout/outlook.ts'
import { CLOSES, OPENS } from './madeCurve.ts'
import type { MadePrecinct } from './madePrecinct.ts'
import { madeDay } from './manyDays.ts'

/**
 * Forecasts held against what happened on made-up days (manyDays.ts), by the test and by
 * `npm run bench -- calibration`.
 */

/** The seed of the first day; each further day has the next. */
const SEED = 20_261_103

type Interval = { low80: number; high80: number; low95: number; high95: number }

/** How often intervals of the day's total held it: shares of `of`. `width80`: mean width against the total. */
export type Coverage = {
  hour: number
  what: 'precinct' | 'county'
  of: number
  within80: number
  within95: number
  width80: number
}

export function turnoutCoverage(days: number, precincts: number): Coverage[] {
  const rows = [9, 12, 15, 18].map(hour => ({
    hour,
    county: { hour, what: 'county' as const, of: 0, within80: 0, within95: 0, width80: 0 },
    precinct: { hour, what: 'precinct' as const, of: 0, within80: 0, within95: 0, width80: 0 },
  }))
  for (let d = 0; d < days; d++) {
    const made = madeDay(SEED + d, precincts)
    const all = made.precincts.reduce((sum, p) => sum + p.total, 0)
    for (const row of rows) {
      const day = made.dayAt(row.hour * HOUR)
      const inputs = made.precinctsAt(day.at)
      const county = countyForecast(day, inputs)
      take(row.county, county, all)
      for (const [i, input] of inputs.entries())
        take(row.precinct, turnoutOutlook(day, county, input)!.outlook, made.precincts[i]!.total)
    }
  }
  return [...rows.map(r => shares(r.county)), ...rows.map(r => shares(r.precinct))]
}

function take(row: Coverage, said: Interval, is: number): void {
  row.of++
  if (said.low80 <= is && is <= said.high80) row.within80++
  if (said.low95 <= is && is <= said.high95) row.within95++
  row.width80 += (said.high80 - said.low80) / is
}

function shares(row: Coverage): Coverage {
  const { of, within80, within95, width80 } = row
  return { ...row, within80: within80 / of, within95: within95 / of, width80: width80 / of }
}

/**
 * Chances against what happened: the Brier score, the mean of (chance − outcome)² (G. W. Brier, "Verification of
 * forecasts expressed in terms of probability", Monthly Weather Review 78, 1950), beside that of who always says
 * how often it happens at that instant. `happened` and `said` are the two means.
 */
export type Score = {
  hour: number
  of: number
  happened: number
  said: number
  brier: number
  ofBaseRate: number
}

type Sums = { hour: number; of: number; happened: number; said: number; squares: number }

const WAITS_AT = [7.5, 9, 12, 15, 17]
const READY_AT = [6.25, 6.5, 6.75]

/** Late opening, in precincts at three instants before the legal hour; a long wait, for voters of the next two hours. */
export function chanceScores(days: number, precincts: number): { late: Score[]; wait: Score[] } {
  const empty = (hour: number): Sums => ({ hour, of: 0, happened: 0, said: 0, squares: 0 })
  const late = READY_AT.map(empty)
  const wait = WAITS_AT.map(empty)
  for (let d = 0; d < days; d++) {
    const made = madeDay(SEED + d, precincts)
    for (const sums of [...late, ...wait]) {
      const day = made.dayAt(sums.hour * HOUR)
      const { precincts: said } = dayForecasts(day, 0, made.precinctsAt(day.at))
      for (const [i, forecast] of [...said.values()].entries())
        if (late.includes(sums)) addLate(sums, forecast, made.precincts[i]!)
        else addWaits(sums, forecast, made.precincts[i]!, day.policy.longLineMinutes)
    }
  }
  return { late: late.map(scored), wait: wait.map(scored) }
}

function addLate(sums: Sums, { ready }: PrecinctForecast, { readyAt }: MadePrecinct): void {
  add(sums, 1 - ready!.chance, readyAt > OPENS ? 1 : 0, 1)
}

function addWaits(
  sums: Sums,
  { line }: PrecinctForecast,
  { voters }: MadePrecinct,
  longMinutes: number,
): void {
  const from = sums.hour * HOUR
  const until = Math.min(CLOSES, from + 120 * MINUTE)
  const some = voters.filter(v => v.at >= from && v.at < until)
  add(sums, line!.chance, some.filter(v => v.waited > longMinutes).length, some.length)
}

function add(sums: Sums, chance: number, happened: number, of: number): void {
  sums.of += of
  sums.happened += happened
  sums.said += chance * of
  sums.squares += happened * (chance - 1) ** 2 + (of - happened) * chance ** 2
}

function scored({ hour, of, happened, said, squares }: Sums): Score {
  const rate = happened / of
  return { hour, of, happened: rate, said: said / of, brier: squares / of, ofBaseRate: rate * (1 - rate) }
}
