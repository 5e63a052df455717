import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import type { Forecaster } from './live/forecasting/forecaster.ts'
import { inSteps } from './live/forecasting/inSteps.ts'
import { threadForecaster } from './live/forecasting/thread.ts'
import type { Log } from './log.ts'

/** In a thread where its program is built beside the server's; from the sources as they are, in small steps. */
export function openForecaster(logger: Log): Forecaster {
  const file = fileURLToPath(new URL('./forecastThread.js', import.meta.url))
  if (existsSync(file)) return threadForecaster(file)
  if (import.meta.url.endsWith('.js'))
    logger.warn(
      { file },
      'the forecasts’ thread is not built beside the server: they are made on its own thread',
    )
  return inSteps()
}
