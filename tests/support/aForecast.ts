import type { CountyForecast } from '../../server/domain/forecast/forecast.ts'
import type { BoardForecast, BoardForecasts } from '../../server/domain/forecast/onBoard.ts'
import { at, BRIEF } from './aBoard.ts'

/** Forecasts of the small invented day as a board gets them: 240 had come to each precinct by 9:30. */

const COUNTY: CountyForecast = {
  total: 2_400,
  low80: 2_150,
  high80: 2_650,
  low95: 2_030,
  high95: 2_800,
  came: 720,
  cameNow: 750,
  pace: 4,
  profile: BRIEF.profile,
  factor: { mean: 0.04, variance: 0.002, curveVariance: 0.004, curveCovariance: -0.001 },
  openingPace: { mean: 0.1, variance: 0.001 },
}

export function aForecast(code: string, changes: Partial<BoardForecast> = {}): BoardForecast {
  return {
    code,
    ready: null,
    turnout: {
      total: 800,
      low80: 700,
      high80: 900,
      low95: 650,
      high95: 960,
      came: { is: 240, at: at(9, 30) },
      pace: 20,
      logSd: 0.12,
    },
    line: null,
    ballots: null,
    faults: [],
    ...changes,
  }
}

export function someForecasts(position: number, changes: Partial<BoardForecasts> = {}): BoardForecasts {
  return {
    at: at(9, 40),
    position,
    county: COUNTY,
    precincts: BRIEF.precincts.map(p => aForecast(p.code)),
    ...changes,
  }
}
