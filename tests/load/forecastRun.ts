import { monitorEventLoopDelay } from 'node:perf_hooks'
import { fileURLToPath } from 'node:url'
import { evolve } from '../../server/domain/day/evolve.ts'
import type { DayState } from '../../server/domain/day/state.ts'
import type { Entry } from '../../server/domain/log/entry.ts'
import { indexOf, type PlanIndex } from '../../server/domain/plan/brief.ts'
import { HOUR, MINUTE } from '../../server/domain/time.ts'
import { createForecasting } from '../../server/live/forecasting/forecasting.ts'
import { threadForecaster } from '../../server/live/forecasting/thread.ts'
import { aWidePlan, DAY } from '../support/aPlan.ts'
import { type Figure, figure } from './figure.ts'
import { stateAt } from './usualState.ts'

const PRECINCTS = 1_000
/** Voters expected, precinct after precinct, at three stations each that take 1,560 in the 13 hours. */
const COUNTIES = {
  /** One in ten is near what its stations can take in the busiest hours, one in ten beyond it. */
  usual: [600, 700, 650, 800, 1_000, 600, 750, 650, 700, 1_500],
  /** Half of the precincts are beyond it. */
  crowded: [600, 800, 900, 1_400, 1_500, 800, 1_500, 1_300, 1_000, 1_750],
}
const RUNS = 16
/** Runs before anything is measured: code is compiled meanwhile. */
const WARM = 6

/** Seconds until the forecasts of 1,000 precincts are there, and for how long at most they held the main thread. */
export async function forecastRun(): Promise<Figure[]> {
  const figures: Figure[] = []
  for (const [county, expected] of Object.entries(COUNTIES)) {
    const plan = aWidePlan(PRECINCTS)
    plan.precincts.forEach((p, i) => {
      p.expected = expected[i % expected.length]!
    })
    const index = indexOf(plan, DAY)
    for (const [when, at] of [
      ['morning', index.brief.reportAt + 40 * MINUTE],
      ['noon', index.brief.opensAt + 5.6 * HOUR],
    ] as const)
      figures.push(...(await timed(`${county} ${when}`, stateAt(index, at), index, at)))
  }
  return figures
}

async function timed(what: string, state: DayState, index: PlanIndex, from: number): Promise<Figure[]> {
  const forecaster = threadForecaster(fileURLToPath(new URL('../forecastThread.js', import.meta.url)))
  const seconds: number[] = []
  const forecasting = createForecasting({
    forecaster,
    index,
    monotonic: () => performance.now(),
    onMade: ms => void seconds.push(ms / 1_000),
    onTrouble: error => {
      throw error
    },
  })
  const held = monitorEventLoopDelay({ resolution: 1 })
  for (let run = 0; run < RUNS; run++) {
    // What was compiled and thrown away on the way is no part of the figure.
    if (run === WARM) {
      ;(globalThis as { gc?: () => void }).gc?.()
      held.enable()
    }
    const at = from + run * MINUTE
    evolve(state, mark(state, at), index)
    forecasting.from(state.forecastBase!)
    await forecasting.settled()
  }
  held.disable()
  await forecaster.close()
  const sorted = seconds.slice(WARM).sort((a, b) => a - b)
  return [
    figure(`forecasts, ${what}`, sorted[Math.floor(sorted.length / 2)]!, 's for 1,000 precincts', 1),
    figure(`forecasts, ${what}: held`, held.max / 1e6, 'ms at most', 20),
  ]
}

function mark(state: DayState, at: number): Entry {
  return {
    kind: 'ForecastMade',
    version: 1,
    precinct: null,
    source: 'system',
    number: null,
    occurredAt: at,
    recordedAt: at,
    origin: { via: 'system' },
    position: state.cursor + 1,
    body: {},
  } as Entry
}
