import type { CountyForecast, PrecinctForecast } from '../../domain/forecast/forecast.ts'
import type { DayInput, PrecinctInput } from '../../domain/forecast/input.ts'

/** What the forecasts' thread is told and answers. Precincts go in chunks both ways: copying them must hold nobody. */
export type Told =
  | { run: number; day: DayInput }
  | { run: number; precincts: PrecinctInput[] }
  | { run: number; ready: true }
export type Said =
  | { run: number; county: CountyForecast }
  | { run: number; precincts: PrecinctForecast[] }
  | { run: number; ready: true }
  | { run: number; failed: string }
