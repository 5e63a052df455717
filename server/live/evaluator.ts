import { nothingPending, type Pending, verdicts } from '../domain/calls/verdicts.ts'
import type { DayState } from '../domain/day/state.ts'
import { forecastDue, isMaterial } from '../domain/forecast/due.ts'
import type { Forecasts } from '../domain/forecast/forecast.ts'
import type { DayLogWriter, NewEntry } from '../domain/log/dayLog.ts'
import type { PlanIndex } from '../domain/plan/brief.ts'
import { toRfc3339 } from '../domain/time.ts'
import { type DayClock, STILL } from './clock.ts'
import type { Hearing } from './hearing.ts'

/**
 * The day's verdicts: reasons raised and ended, silence, who was heard. Precincts that changed are judged at
 * every tick, all of them once a second. Judging reads; only what is new is decided again under the head's
 * lock, on the state at the head, and written there, so a verdict is passed once however many nodes judge.
 */
export type Evaluator = {
  touched(precinct: string): void
  /** An entry of the log, in its order: what moves forecasts isn't left to the next minute, until they are marked. */
  noted(kind: string): void
  /** One tick; resolves when what it had to say is in the log. */
  tick(): Promise<void>
  /** Instant of the last look at all precincts that is finished, verdicts written. */
  judgedAt(): number
  /** Our own outage is over: deadlines restart with a grace. */
  resumed(lastKnownAt: number): Promise<void>
}

export function createEvaluator(deps: {
  day: string
  log: DayLogWriter
  clock: DayClock
  index: PlanIndex
  state(): DayState
  hearing: Hearing
  /** The latest forecasts, and whether there is time for new ones. */
  forecasts: { latest(): { made: Forecasts } | null; free(): boolean }
  wall(): number
}): Evaluator {
  const { day, log, clock, index, hearing, forecasts } = deps
  let material = false
  let touched = new Set<string>()
  let pending: Pending = nothingPending()
  let fullAt = 0
  let judgedAt = 0
  let lastTick: { wall: number; day: number } | null = null

  async function resumed(lastKnownAt: number) {
    await log.decide(day, now => ({
      entries: [
        systemEntry('ServiceResumed', now, {
          lastKnownAt: toRfc3339(Math.min(lastKnownAt, now)),
          graceUntil: toRfc3339(now + index.plan.policy.heartbeat.graceSeconds * 1_000),
        }),
      ],
      result: null,
    }))
  }

  async function tick() {
    const wall = deps.wall()
    // This program stood still (a suspended machine, a blocked loop): what we didn't hear is our own doing.
    if (lastTick && wall - lastTick.wall > STOOD_STILL_MS) await resumed(lastTick.day)
    lastTick = { wall, day: clock.now() }
    const full =
      wall - fullAt >=
      (clock.speed() <= STILL ? 0 : Math.min(FULL_EVERY_MS, FULL_EVERY_DAY_MS / clock.speed()))
    if (full) fullAt = wall
    else if (touched.size === 0) return
    const only = full ? undefined : touched
    const now = clock.now()
    const looked = () => {
      if (full) judgedAt = now
    }
    const overdue = somebodyOverdue(now)
    const list = full || overdue ? hearing.list(now, overdue) : null
    if (list) {
      await log.decide(day, at => ({ entries: [{ ...list, occurredAt: at }], result: null }))
      hearing.listed(list)
    }
    if (full) await markForecast()
    const first = verdicts(deps.state(), index, clock.now(), pending, only, forecasts.latest()?.made)
    pending = first.pending
    touched = new Set()
    if (first.drafts.length === 0) return looked()
    await log.decide(day, at => {
      const again = verdicts(deps.state(), index, at, pending, only, forecasts.latest()?.made)
      pending = again.pending
      return { entries: again.drafts as NewEntry[], result: null }
    })
    looked()
  }

  /** Where new forecasts are due, what they are made from is marked in the log: once, however many nodes look. */
  async function markForecast() {
    const due = (at: number) => forecastDue(deps.state(), index, at, material)
    if (!forecasts.free() || !due(clock.now())) return
    await log.decide(day, at => ({
      entries: due(at) ? [systemEntry('ForecastMade', at, {})] : [],
      result: null,
    }))
  }

  /** Known here to have been heard later than the log says, and due to be called silent by the log. */
  function somebodyOverdue(now: number): boolean {
    const silentMs = index.plan.policy.heartbeat.silentAfterSeconds * 1_000
    for (const p of deps.state().precincts.values()) {
      if (p.silentSince !== null) {
        if (hearing.lastHeard(p.code) !== null) return true
      } else if (
        p.heardAt !== null &&
        p.heardAt + silentMs <= now &&
        (hearing.lastHeard(p.code) ?? 0) > p.heardAt
      )
        return true
    }
    return false
  }

  return {
    touched: precinct => void touched.add(precinct),
    noted: kind => {
      if (kind === 'ForecastMade') material = false
      else if (isMaterial(kind)) material = true
    },
    tick,
    resumed,
    judgedAt: () => judgedAt,
  }
}

/** All precincts are looked at once a second, on a fast practice day every half minute of it; one that waits, at once. */
const FULL_EVERY_MS = 1_000
const FULL_EVERY_DAY_MS = 30_000
const STOOD_STILL_MS = 30_000

export function systemEntry(
  kind: NewEntry['kind'],
  at: number,
  body: Record<string, unknown>,
  precinct: string | null = null,
): NewEntry {
  return {
    kind,
    version: 1,
    precinct,
    source: 'system',
    number: null,
    occurredAt: at,
    origin: { via: 'system' },
    body,
  } as unknown as NewEntry
}
