import type { ForecastBase } from '../../domain/day/state.ts'
import type { Forecasts } from '../../domain/forecast/forecast.ts'
import { gatherPrecinct } from '../../domain/forecast/gather.ts'
import type { PrecinctInput } from '../../domain/forecast/input.ts'
import type { PlanIndex } from '../../domain/plan/brief.ts'

/** Who reckons the forecasts of a state: away from this thread, or on it in small steps. */
export type Forecaster = {
  /** Rejects where the thread ended; the next one asked for begins another. */
  make(base: ForecastBase, index: PlanIndex): Promise<Forecasts>
  close(): Promise<void>
}

/** Precincts gathered or copied in one go: a few milliseconds. */
export const CHUNK = 25

/** Inputs of all precincts in chunks, between which others run. */
export async function* gathered(base: ForecastBase, index: PlanIndex): AsyncGenerator<PrecinctInput[]> {
  let chunk: PrecinctInput[] = []
  for (const p of base.precincts.values()) {
    const planned = index.precincts.get(p.code)
    if (planned) chunk.push(gatherPrecinct(p, planned, index, base.at))
    if (chunk.length < CHUNK) continue
    yield chunk
    chunk = []
    await new Promise(setImmediate)
  }
  if (chunk.length > 0) yield chunk
}
