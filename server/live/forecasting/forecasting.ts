import type { ForecastBase } from '../../domain/day/state.ts'
import type { Forecasts } from '../../domain/forecast/forecast.ts'
import {
  type BoardForecast,
  type BoardForecasts,
  countyOnBoard,
  onBoard,
} from '../../domain/forecast/onBoard.ts'
import type { PlanIndex } from '../../domain/plan/brief.ts'
import type { Instant } from '../../domain/time.ts'
import { CHUNK, type Forecaster } from './forecaster.ts'

/**
 * The latest forecasts of a running day. One run at a time: where a newer base comes while one is under way, it is
 * the next, and those between are never made. What boards have is kept by version, so that a patch holds only what
 * changed.
 */
export type Forecasting = {
  /** There is something new to reckon from. */
  from(base: ForecastBase): void
  latest(): { made: Forecasts; base: ForecastBase } | null
  /** Nothing is under way, and others have had the machine for a while since the last. */
  free(): boolean
  /** The instant up to which they are made or nothing is due: Infinity where none is under way. */
  madeUntil(): Instant
  version(): number
  /** For boards: the county and all precincts, or those that changed after a version; null: nothing did. */
  since(version: number): BoardForecasts | null
  /** Resolves when what is under way has come. */
  settled(): Promise<void>
  /** The day stops here: no more are made, and of what is under way nobody is told. */
  end(): void
}

/** Between two runs it rests so many times as long as the last took: a fast practice day leaves room for the rest. */
const RESTS = 2

export function createForecasting(deps: {
  forecaster: Forecaster
  index: PlanIndex
  /** Milliseconds of a clock that never goes back. */
  monotonic(): number
  onMade(ms: number): void
  onTrouble(error: unknown): void
}): Forecasting {
  const { forecaster, index } = deps
  let latest: { made: Forecasts; base: ForecastBase } | null = null
  let freeAt = 0
  let ended = false
  let version = 0
  let next: ForecastBase | null = null
  let underWay: ForecastBase | null = null
  let running: Promise<void> = Promise.resolve()
  let shown: { county: BoardForecasts['county']; rows: Map<string, Shown> } | null = null

  /** What boards get is made in small steps, between which others run; then all of it is the latest at once. */
  async function take(made: Forecasts, base: ForecastBase) {
    const next = version + 1
    const rows = new Map<string, Shown>()
    for (const [code, forecast] of made.precincts) {
      const text = JSON.stringify(onBoard(forecast))
      const before = shown?.rows.get(code)
      rows.set(code, before?.text === text ? before : { text, version: next })
      if (rows.size % CHUNK === 0) await new Promise(setImmediate)
    }
    latest = { made, base }
    version = next
    shown = { county: countyOnBoard(made.county), rows }
  }

  async function run() {
    while (next && !ended) {
      underWay = next
      next = null
      const from = deps.monotonic()
      try {
        await take(await forecaster.make(underWay, index), underWay)
        if (!ended) deps.onMade(deps.monotonic() - from)
      } catch (error) {
        if (!ended) deps.onTrouble(error)
      }
      freeAt = deps.monotonic() + RESTS * (deps.monotonic() - from)
    }
    underWay = null
  }

  return {
    from(base) {
      next = base
      if (!underWay && !ended) running = run()
    },
    latest: () => latest,
    free: () => underWay === null && deps.monotonic() >= freeAt,
    madeUntil: () => underWay?.at ?? Number.POSITIVE_INFINITY,
    version: () => version,
    since(known) {
      if (!latest || !shown || known === version) return null
      const precincts: BoardForecast[] = []
      for (const row of shown.rows.values()) if (row.version > known) precincts.push(JSON.parse(row.text))
      const { at, position } = latest.made
      return { at, position, county: shown.county, precincts }
    },
    settled: () => running,
    end: () => {
      ended = true
    },
  }
}

/** As text: thousands of small objects that live for a minute would hold this thread while they are moved about. */
type Shown = { text: string; version: number }
