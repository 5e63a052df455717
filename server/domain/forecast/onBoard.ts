import type { CountyForecast, Forecasts, PrecinctForecast, TurnoutOutlook } from './forecast.ts'

/**
 * Forecasts as boards get them: without what only a precinct's own page reckons with, and rounded, so that what
 * hardly moved isn't sent again.
 */
export type BoardForecast = Omit<PrecinctForecast, 'turnout'> & {
  turnout: Omit<TurnoutOutlook, 'coming'> | null
}

export type BoardForecasts = {
  at: Forecasts['at']
  position: number
  county: CountyForecast
  precincts: BoardForecast[]
}

/** Decimals kept of what is no whole number anyhow, by its name; others keep one. */
const DECIMALS: Readonly<Record<string, number>> = {
  chance: 3,
  logSd: 3,
  load: 2,
  serviceMinutes: 2,
  mean: 4,
  variance: 6,
  curveVariance: 6,
  curveCovariance: 6,
}
const PROFILE_DECIMALS = 5

export function onBoard(forecast: PrecinctForecast): BoardForecast {
  const { turnout, ...rest } = forecast
  if (turnout === null) return rounded({ ...rest, turnout: null })
  const { coming: _, ...shown } = turnout
  return rounded({ ...rest, turnout: shown })
}

export function countyOnBoard({ profile, ...rest }: CountyForecast): CountyForecast {
  return { ...rounded(rest), profile: profile.map(share => round(share, PROFILE_DECIMALS)) }
}

/** A copy of plain data with its fractions cut to what means something. */
function rounded<T>(value: T, name = ''): T {
  if (typeof value === 'number') return round(value, DECIMALS[name] ?? 1) as T
  if (Array.isArray(value)) return value.map(item => rounded(item, name)) as T
  if (typeof value !== 'object' || value === null) return value
  const copy: Record<string, unknown> = {}
  for (const [key, item] of Object.entries(value)) copy[key] = rounded(item, key)
  return copy as T
}

function round(value: number, decimals: number): number {
  if (Number.isInteger(value)) return value
  const unit = 10 ** decimals
  return Math.round(value * unit) / unit
}
