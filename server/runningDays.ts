import type { DayRecord, Days } from '../db/days.ts'
import type { DayLog } from './domain/log/dayLog.ts'
import type { Instant } from './domain/time.ts'
import { type DayClock, stoodClock } from './live/clock.ts'
import { systemEntry } from './live/evaluator.ts'
import { type LiveDay, startLiveDay } from './live/liveDay.ts'

/**
 * The days of this process: those that run, and closed ones that somebody reads. A closed day is the fold of its
 * log like any other, standing where it was closed; nothing judges it and nothing is written to it.
 */
export type RunningDays = {
  running: ReadonlyMap<string, LiveDay>
  /** Running, or closed and being read. */
  of(day: string): LiveDay | null
  /** The same; a closed day that nobody has read yet is folded first. */
  reach(day: string): Promise<LiveDay | null>
  isClosed(day: string): boolean
  /** Catches up with a day's log and runs it. A day that its log says is closed is noted as closed, and stands. */
  start(record: DayRecord, clock: DayClock): Promise<LiveDay>
  /** For good: what was under way is written, then DayClosed, then nothing. false: it was closed before. */
  close(record: DayRecord): Promise<boolean>
  now(day: string): Instant | null
  stop(): Promise<void>
}

/** Closed days kept folded; the one read longest ago makes room, and is folded anew when it is asked for. */
const READ_AT_ONCE = 4

type LiveDeps = Parameters<typeof startLiveDay>[0]

export async function makeRunningDays(deps: {
  days: Days
  log(): DayLog
  wall(): number
  /** All that a live day needs of the house. */
  house(day: string): Pick<
    LiveDeps,
    'nameOf' | 'peopleAtDesk' | 'onTrouble' | 'onAssertion' | 'onTick' | 'forecaster' | 'onForecast'
  > & {
    tickMs(clock: DayClock): number
    onChange(): void
    onSpeed(): void
  }
  onClosed(day: string): void
}): Promise<RunningDays> {
  const { days, wall } = deps
  const running = new Map<string, LiveDay>()
  const clocks = new Map<string, DayClock>()
  const read = new Map<string, Promise<LiveDay>>()
  const readNow = new Map<string, LiveDay>()
  const closed = new Set((await days.list()).filter(d => d.closedAt !== null).map(d => d.id))

  async function fold(record: DayRecord, clock: DayClock): Promise<LiveDay> {
    const house = deps.house(record.id)
    return startLiveDay({
      ...house,
      day: record.id,
      plan: await days.plan(record.planHash),
      log: deps.log(),
      clock,
      wall,
      tickMs: () => house.tickMs(clock),
    })
  }

  async function start(record: DayRecord, clock: DayClock): Promise<LiveDay> {
    clocks.set(record.id, clock)
    clock.onSpeed(() => deps.house(record.id).onSpeed())
    const live = await fold(record, clock)
    running.set(record.id, live)
    if (live.closed()) await stand(record, live)
    return live
  }

  /** From here it is read, not run. */
  async function stand(record: DayRecord, live: LiveDay): Promise<void> {
    await days.close(record.id, wall())
    closed.add(record.id)
    await live.stop()
    const standing = await readClosed(record)
    running.delete(record.id)
    clocks.delete(record.id)
    readNow.set(record.id, standing)
    deps.onClosed(record.id)
  }

  function readClosed(record: DayRecord): Promise<LiveDay> {
    const known = read.get(record.id)
    read.delete(record.id)
    const reading =
      known ??
      deps
        .log()
        .head(record.id)
        .then(({ recordedAt }) => fold(record, stoodClock(recordedAt)))
    read.set(record.id, reading)
    reading.then(
      live => void readNow.set(record.id, live),
      () => void read.delete(record.id),
    )
    for (const [oldest] of read) {
      if (read.size <= READ_AT_ONCE) break
      const forgotten = read.get(oldest)
      read.delete(oldest)
      readNow.delete(oldest)
      forgotten?.then(live => live.stop()).catch(() => {})
    }
    return reading
  }

  return {
    running,
    of: day => running.get(day) ?? readNow.get(day) ?? null,
    reach: async day => {
      const live = running.get(day)
      if (live) return live
      if (!closed.has(day)) return null
      const record = await days.get(day)
      return record && readClosed(record)
    },
    isClosed: day => closed.has(day),
    start,
    close: async record => {
      if (closed.has(record.id)) return false
      const live =
        running.get(record.id) ??
        (await start(record, stoodClock((await deps.log().head(record.id)).recordedAt)))
      if (closed.has(record.id)) return false
      await live.seal()
      try {
        await deps.log().decide(record.id, now => ({
          entries: live.state().closed ? [] : [systemEntry('DayClosed', now, {})],
          result: null,
        }))
      } catch (error) {
        live.unseal()
        throw error
      }
      await stand(record, live)
      return true
    },
    now: day => clocks.get(day)?.now() ?? null,
    stop: async () => {
      for (const live of running.values()) {
        await live.stop()
        if (live.plan.kind === 'practice')
          await days.saveClock(live.day, live.now(), live.speed()).catch(deps.house(live.day).onTrouble)
      }
      for (const reading of read.values()) await reading.then(live => live.stop()).catch(() => {})
    },
  }
}
