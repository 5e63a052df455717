import { countyOfDay, eachForecast } from '../../domain/forecast/day.ts'
import type { PrecinctForecast } from '../../domain/forecast/forecast.ts'
import { gatherDay } from '../../domain/forecast/gather.ts'
import type { PrecinctInput } from '../../domain/forecast/input.ts'
import { type Forecaster, gathered } from './forecaster.ts'

/** Milliseconds after which others are let in. */
const STEP_MS = 8

/** The same forecasts on this thread, one precinct after another, for programs that run from their sources. */
export function inSteps(): Forecaster {
  return {
    async make(base, index) {
      const inputs: PrecinctInput[] = []
      for await (const chunk of gathered(base, index)) inputs.push(...chunk)
      const day = gatherDay(index, base.at)
      const county = countyOfDay(day, inputs)
      const precincts = new Map<string, PrecinctForecast>()
      let from = performance.now()
      for (const forecast of eachForecast(day, county, inputs)) {
        precincts.set(forecast.code, forecast)
        if (performance.now() - from < STEP_MS) continue
        await new Promise(setImmediate)
        from = performance.now()
      }
      return { at: base.at, position: base.position, county, precincts }
    },
    close: async () => {},
  }
}
