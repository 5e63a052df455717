import { Counter, Gauge, Histogram, type Registry } from 'prom-client'
import type { Presence } from '../db/presence.ts'
import type { LiveDay } from './live/liveDay.ts'

/** The running days' own figures for /metrics: counts and times, never a precinct's or a person's name. */
export function liveMetrics(
  registry: Registry,
  live: { running: ReadonlyMap<string, LiveDay>; boards(): number; devices(): number },
) {
  const registers = [registry]
  new Gauge({
    name: 'sunup_log_position',
    help: 'Position of the last entry folded, by day',
    labelNames: ['day'],
    registers,
    collect() {
      for (const day of live.running.values()) this.set({ day: day.day }, day.cursor())
    },
  })
  new Gauge({
    name: 'sunup_call_lines',
    help: 'Lines on the call list, by day and tier',
    labelNames: ['day', 'tier'],
    registers,
    collect() {
      this.reset()
      for (const day of live.running.values())
        for (const line of day.calls()) this.inc({ day: day.day, tier: line.tier })
    },
  })
  new Gauge({
    name: 'sunup_boards',
    help: 'Boards connected',
    registers,
    collect: function () {
      this.set(live.boards())
    },
  })
  new Gauge({
    name: 'sunup_devices',
    help: 'Devices connected',
    registers,
    collect: function () {
      this.set(live.devices())
    },
  })
  const refused = new Counter({
    name: 'sunup_reports_refused_total',
    help: 'Reports refused and kept',
    registers,
  })
  const patchedRows = new Counter({
    name: 'sunup_patched_rows_total',
    help: 'Rows sent in patches, once for all boards',
    registers,
  })
  const tick = new Histogram({
    name: 'sunup_tick_seconds',
    help: 'Time of one tick: rules, verdicts, call list',
    buckets: [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.25, 1],
    registers,
  })
  const forecast = new Histogram({
    name: 'sunup_forecast_seconds',
    help: 'Time until the forecasts of a day are made, waiting included',
    buckets: [0.05, 0.1, 0.25, 0.5, 1, 2, 5],
    registers,
  })
  return {
    forecast: (ms: number) => forecast.observe(ms / 1_000),
    refused: (count: number) => refused.inc(count),
    patched: (rows: number) => patchedRows.inc(rows),
    ticked: (ms: number) => tick.observe(ms / 1_000),
  }
}

/** Whether the database answers, and what it costs to ask where it doesn't. */
export function presenceMetrics(registry: Registry, presence: Presence): void {
  const registers = [registry]
  new Gauge({
    name: 'sunup_database_away_seconds',
    help: 'For how long the database has been away; 0: it answers',
    registers,
    collect() {
      this.set((presence.away() ?? 0) / 1_000)
    },
  })
  new Gauge({
    name: 'sunup_database_knocks',
    help: 'Connections tried since the start to see whether the database answers',
    registers,
    collect() {
      this.set(presence.knocks())
    },
  })
}
