import type { Person } from '../access/access.ts'
import type { Deciding } from '../commands/decide.ts'
import { evolve } from '../domain/day/evolve.ts'
import { initialDay } from '../domain/day/initial.ts'
import type { BoardRow, CallLine } from '../domain/day/row.ts'
import type { DayState, ForecastBase } from '../domain/day/state.ts'
import type { Forecasts } from '../domain/forecast/forecast.ts'
import type { DayLog, Stored } from '../domain/log/dayLog.ts'
import { indexOf, type PlanIndex } from '../domain/plan/brief.ts'
import type { Plan } from '../domain/plan/plan.ts'
import { MINUTE } from '../domain/time.ts'
import type { LogHead, Patch, Snapshot } from '../protocol/board.ts'
import { createCallsNow } from './callsNow.ts'
import type { DayClock } from './clock.ts'
import { createEvaluator, type Evaluator } from './evaluator.ts'
import type { Forecaster } from './forecasting/forecaster.ts'
import { createForecasting } from './forecasting/forecasting.ts'
import { createHearing, type Hearing } from './hearing.ts'
import { createLateHashes } from './lateHashes.ts'
import { createNoticesNow, type NoticesNow } from './noticesNow.ts'
import { openOrResume } from './openOrResume.ts'
import { patchOf, type Seen } from './patchOf.ts'
import { createPlansOwed, type PlanOwed } from './plansOwed.ts'
import { logIdentity, rowsOf, snapshotOf } from './snapshotOf.ts'
import { createTicking } from './ticking.ts'

/**
 * One running day: the log's tail, folded; judged at every tick; shown to boards as rows.
 *
 * Kept true here: the state is the fold of the log up to `cursor`, in order, nothing else ever writes to it
 * (P4). Nothing is judged or shown before the fold has caught up with the log (P8).
 */
export type LiveDay = {
  day: string
  /** Identity of this log for boards: a cursor of another log is worth nothing here. */
  log(): string
  plan: Plan
  index: PlanIndex
  clock: DayClock
  state(): DayState
  now(): number
  speed(): number
  /** Milliseconds of the day in the last so many of the wall clock. */
  elapsed(agoMs: number): number
  openedAt(): number
  /** It takes nothing any more. */
  closed(): boolean
  /** Instant of the last look at all precincts that is finished. */
  judgedAt(): number
  heard(precinct: string, at: number): void
  cursor(): number
  head(): LogHead
  /** Hash of one of the last 4,096 entries; null: it is older, or there is none. */
  hashAt(position: number): string | null
  rows(): BoardRow[]
  calls(): CallLine[]
  notices: Pick<NoticesNow, 'ofPrecinct' | 'takeSent'>
  /** The latest forecasts and what they were made from; null: none yet. */
  forecasts(): { made: Forecasts; base: ForecastBase } | null
  snapshot(): Snapshot
  /** The call list and the names go along where they are not those that were seen. */
  patchFrom(cursor: number, seen?: Seen): Patch
  /** What a board that had the latest patch has seen. */
  seen(): Seen
  deciding(person: Person, now: number): Omit<Deciding, 'id'>
  /** Precincts whose devices are owed their plan, since the last call. */
  takePlansOwed(): PlanOwed[]
  /**
   * Opens a new day, or goes on with one after our own outage, so that silence is not held against anybody. Only
   * then is the day judged: a verdict before it would blame our outage on the precincts (P8).
   */
  begin(planHash: string): Promise<void>
  /** Before its end is written: reports and commands are refused, and what was under way is in the log. */
  seal(): Promise<void>
  /** The end could not be written: it goes on. */
  unseal(): void
  stop(): Promise<void>
}

/** On a day that is played quickly, forecasts may lie so far behind the rules before the clock waits for them. */
const FORECAST_LAG = 3 * MINUTE

/** A board further behind than this gets a fresh picture: a patch from there would hold nearly every row anyway. */
const LATE = 4_096

export async function startLiveDay(deps: {
  day: string
  plan: Plan
  log: DayLog
  clock: DayClock
  nameOf(personId: string): string
  peopleAtDesk(): Record<string, string>
  wall(): number
  /** Milliseconds between ticks; shorter where the day runs fast. */
  tickMs(): number
  onChange(): void
  onTrouble(error: unknown): void
  onAssertion(error: unknown): void
  onTick?(ms: number): void
  forecaster: Forecaster
  onForecast?(ms: number): void
}): Promise<LiveDay> {
  const { day, plan, log, clock } = deps
  const index = indexOf(plan, day)
  const state = initialDay(day, index)
  const row = rowsOf(index)
  const calls = createCallsNow({ state, index, now: clock.now })
  const notices = createNoticesNow(state)
  const plansOwed = createPlansOwed()
  const hearing: Hearing = createHearing(clock.now())
  let head: LogHead = { position: 0, hash: '0'.repeat(64) }
  const hashes = createLateHashes(LATE)
  let openedAt = 0
  let firstHash = ''
  let evaluator: Evaluator | null = null
  /** Position of the mark that forecasts were last asked for. */
  let marked = 0
  const forecasting = createForecasting({
    forecaster: deps.forecaster,
    index,
    monotonic: () => performance.now(),
    onMade: ms => {
      deps.onForecast?.(ms)
      deps.onChange()
    },
    onTrouble: deps.onTrouble,
  })

  /**
   * An entry that can't be folded is a fault of this program: going on would show a board that isn't the log's.
   * Nobody here can mend it, so it is told to the composition root, which ends; a restart folds anew (P4).
   */
  function onEntries(entries: Stored[]) {
    try {
      foldIn(entries)
    } catch (error) {
      deps.onAssertion(error)
    }
  }

  function foldIn(entries: Stored[]) {
    for (const stored of entries) {
      const { entry, hash } = stored
      evolve(state, entry, index)
      notices.folded(stored, evaluator === null)
      if (entry.kind === 'DayOpened') openedAt = entry.recordedAt
      if (entry.position === 1) firstHash = hash
      evaluator?.noted(entry.kind)
      hashes.add(entry.position, hash)
      if (entry.precinct !== null) {
        evaluator?.touched(entry.precinct)
        plansOwed.said(entry)
      }
      if (entry.kind === 'DetailErased')
        for (const code of notices.addressed(entry.body.position)) plansOwed.owe(code)
    }
    if (evaluator && state.forecastBase && state.forecastBase.position > marked)
      forecastFrom(state.forecastBase)
    const last = entries[entries.length - 1]
    if (last) head = { position: last.entry.position, hash: last.hash }
    deps.onChange()
  }

  function forecastFrom(base: ForecastBase) {
    marked = base.position
    forecasting.from(base)
  }

  const unfollow = await log.follow(day, 0, onEntries)

  const identity = () => logIdentity(day, firstHash)
  /** What boards are shown of this instant. */
  const shown = () => ({
    state,
    rows: row,
    log: identity(),
    head,
    now: clock.now(),
    speed: clock.speed(),
    people: deps.peopleAtDesk(),
    calls: calls.list(),
    notices: notices.list(),
  })

  const judge = createEvaluator({
    day,
    log,
    clock,
    index,
    state: () => state,
    hearing,
    forecasts: forecasting,
    wall: deps.wall,
  })
  evaluator = judge
  // Of the marks in what was caught up with only the latest matters.
  if (state.forecastBase) forecastFrom(state.forecastBase)
  const ticking = createTicking({
    tick: async () => {
      if (!state.closed) await judge.tick()
    },
    resumed: judge.resumed,
    everyMs: deps.tickMs,
    now: clock.now,
    wall: deps.wall,
    outageMs: plan.policy.heartbeat.lateAfterSeconds * 1_000,
    onTick: ms => {
      deps.onTick?.(ms)
      if (calls.refresh()) deps.onChange()
    },
    onTrouble: deps.onTrouble,
  })
  let stopped = false
  let sealed = false
  calls.refresh()

  async function stopJudging() {
    await ticking.end()
    const list = hearing.list(clock.now(), true)
    if (!list || state.closed) return
    await log
      .decide(day, at => ({ entries: [{ ...list, occurredAt: at }], result: null }))
      .catch(deps.onTrouble)
  }

  return {
    day,
    log: identity,
    plan,
    index,
    clock,
    state: () => state,
    now: () => clock.now(),
    speed: () => clock.speed(),
    elapsed: clock.elapsed,
    // Rules that look ahead are as far as their forecasts are.
    judgedAt: () => Math.min(judge.judgedAt(), forecasting.madeUntil() + FORECAST_LAG),
    openedAt: () => openedAt,
    closed: () => state.closed || sealed,
    heard: hearing.heard,
    cursor: () => state.cursor,
    head: () => head,
    hashAt: hashes.at,
    rows: () => [...state.precincts.values()].map(row),
    calls: calls.list,
    notices,
    forecasts: forecasting.latest,
    snapshot: () => snapshotOf({ ...shown(), index, forecasts: forecasting.since(0) }),
    patchFrom: (cursor, seen) => {
      const forecasts = forecasting.since(seen?.forecasts ?? 0)
      return patchOf({ ...shown(), forecasts }, cursor, seen)
    },
    seen: () => ({
      calls: calls.list(),
      notices: notices.list(),
      people: deps.peopleAtDesk(),
      forecasts: forecasting.version(),
    }),
    deciding: (person, now) => ({
      state,
      index,
      person,
      now,
      elapsed: clock.elapsed,
      nameOf: deps.nameOf,
    }),
    takePlansOwed: plansOwed.take,
    begin: async planHash => {
      await openOrResume({ day, plan, log, clock, state, resumed: judge.resumed }, planHash)
      // A closed day isn't judged, and its list doesn't change.
      if (!stopped && !state.closed) ticking.begin()
    },
    seal: async () => {
      sealed = true
      await stopJudging()
      // What waited to be written before stands before what comes after this.
      await log.decide(day, () => ({ entries: [], result: null }))
    },
    unseal: () => {
      sealed = false
      ticking.begin()
    },
    stop: async () => {
      stopped = true
      forecasting.end()
      await stopJudging()
      unfollow()
    },
  }
}
