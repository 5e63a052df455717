import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import type { Forecaster } from './live/forecasting/forecaster.ts'
import { inSteps } from './live/forecasting/inSteps.ts'
import { threadForecaster } from './live/forecasting/thread.ts'

/** In a thread where its program is built beside the server's; from the sources as they are, in small steps. */
export function openForecaster(): Forecaster {
  const file = fileURLToPath(new URL('./forecasts.js', import.meta.url))
  return existsSync(file) ? threadForecaster(file) : inSteps()
}
