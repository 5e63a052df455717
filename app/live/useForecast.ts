'use client'
import { useMemo } from 'react'
import type { BoardForecast } from '../../server/domain/forecast/onBoard.ts'
import type { StripForecast } from '../parts/stripGeometry.ts'
import { useBoard } from './useBoard.ts'

/** The latest forecast of a precinct; undefined: there is none. */
const useForecast = (code: string): BoardForecast | undefined =>
  useBoard(s => s.forecasts?.precincts.get(code))

/** What of it a day strip draws. */
export function useStripForecast(code: string): StripForecast | null {
  const forecast = useForecast(code)
  const profile = useBoard(s => s.forecasts?.county.profile)
  return useMemo(
    () => (forecast && profile ? { ready: forecast.ready, turnout: forecast.turnout, profile } : null),
    [forecast, profile],
  )
}
