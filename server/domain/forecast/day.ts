import { ballotsForecast } from '../ballots/forecast.ts'
import { lineForecast } from '../lines/forecast.ts'
import { openingPaceOf, readyOutlook } from '../readiness/outlook.ts'
import { countyForecast } from '../turnout/county.ts'
import { turnoutOutlook } from '../turnout/outlook.ts'
import type {
  CountyForecast,
  Forecasts,
  LineForecastPoint,
  PrecinctForecast,
  TurnoutOutlook,
  WhatIf,
} from './forecast.ts'
import type { DayInput, PrecinctInput } from './input.ts'

/**
 * The forecasts of a day: first the county's, from all precincts, since it says how this day differs from the plan;
 * then each precinct's. The server's thread and the browser come in here.
 */

/** What all precincts say together. */
export function countyOfDay(day: DayInput, precincts: readonly PrecinctInput[]): CountyForecast {
  return { ...countyForecast(day, precincts), openingPace: openingPaceOf(day, precincts) }
}

/** A precinct's forecast with what only its own page draws. */
export type PrecinctOutlook = { forecast: PrecinctForecast; linePoints: readonly LineForecastPoint[] }

/**
 * @param together the precincts that stand in one line with this one, itself among them, the line's first first;
 *   the line is forecast at that one
 * @param whatIf changes the line alone
 */
export function precinctOutlook(
  day: DayInput,
  county: CountyForecast,
  input: PrecinctInput,
  together: readonly PrecinctInput[],
  whatIf?: WhatIf,
): PrecinctOutlook {
  const turnout = turnoutOutlook(day, county, input)
  const members: Array<{ input: PrecinctInput; outlook: TurnoutOutlook }> = []
  if (input.lineOf === null || input.lineOf === input.code)
    for (const member of together) {
      const own = member === input ? turnout : turnoutOutlook(day, county, member)
      if (own) members.push({ input: member, outlook: own.outlook })
    }
  const line = members.length > 0 ? lineForecast(day, members, county.profile, whatIf) : null
  return {
    forecast: {
      code: input.code,
      ready: readyOutlook(day, county, input),
      turnout: turnout?.outlook ?? null,
      line: line?.forecast ?? null,
      ballots: turnout && ballotsForecast(day, input, turnout.outlook, turnout.toCome, county.profile),
      faults: turnout?.faults ?? [],
    },
    linePoints: line?.points ?? [],
  }
}

/** Precincts that stand in one line, by the code of its first; those with a line of their own aren't there. */
function linesOf(precincts: readonly PrecinctInput[]): Map<string, PrecinctInput[]> {
  const lines = new Map<string, PrecinctInput[]>()
  for (const p of precincts) {
    if (p.lineOf === null) continue
    const line = lines.get(p.lineOf)
    if (line) line.push(p)
    else lines.set(p.lineOf, [p])
  }
  return lines
}

/** All precincts' forecasts, one after another, so that whoever has other things to do can do them between. */
export function* eachForecast(
  day: DayInput,
  county: CountyForecast,
  precincts: readonly PrecinctInput[],
): Generator<PrecinctForecast> {
  const lines = linesOf(precincts)
  for (const p of precincts) {
    const together = (p.lineOf !== null && lines.get(p.lineOf)) || [p]
    yield precinctOutlook(day, county, p, together).forecast
  }
}

/** All forecasts of a day at once. */
export function dayForecasts(
  day: DayInput,
  position: number,
  precincts: readonly PrecinctInput[],
): Forecasts {
  const county = countyOfDay(day, precincts)
  const made = new Map<string, PrecinctForecast>()
  for (const forecast of eachForecast(day, county, precincts)) made.set(forecast.code, forecast)
  return { at: day.at, position, county, precincts: made }
}
