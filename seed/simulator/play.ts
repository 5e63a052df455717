import type { Plan } from '../../server/domain/plan/plan.ts'
import { hhmmOf } from '../../server/domain/plan/zone.ts'
import { type Instant, MINUTE } from '../../server/domain/time.ts'
import { STILL } from '../../server/live/clock.ts'
import { createDayClock } from './dayClock.ts'
import { createTablet } from './device.ts'
import type { PracticeDay } from './script.ts'
import { whenOrdered } from './trainer.ts'

/**
 * Plays a practice day against an office: a tablet for each precinct that has a key, one timer for all.
 * `tell` gets one JSON line's fields at a time:
 * - `{played: 'HH:MM'}` every five minutes of the day, when everything due by then is with the office;
 * - `{caughtUp: 'HH:MM'}` once, the first time that nothing due is left;
 * - `{settled}` with an instant, at most every 20 ms: all that was due by then is with the office;
 * - `{refused}`, `{notTaken}`, `{keyRefused}`: a precinct's trouble with the link.
 */
export type Played = {
  stop(): void
  settledAt(): Instant | null
  /** The tablets say nothing from here on; `quiet` is called once none of their requests is under way. */
  hush(quiet: () => void): void
  /**
   * They speak again as soon as they have heard that the day runs at this speed, and date what was before by it
   * alone: the office has forgotten the speeds that were.
   */
  speak(speed: number): void
  /** From when on a precinct's script may still be changed; null: the day's time is not known yet. */
  changeableFrom(precinct: string): Instant | null
}

export type PlaySetting = {
  plan: Plan
  day: PracticeDay
  url: string
  anyCertificate?: boolean
  /** Device key by precinct. */
  keys: ReadonlyMap<string, string>
  tell: (line: Record<string, unknown>) => void
  wall?: () => number
}

/** Looks around at least four times a second, and for each five seconds of the day, but not faster than this. */
const SLOWEST_TICK_MS = 250
const FASTEST_TICK_MS = 10
const TICK_DAY_MS = 5_000
const SETTLED_EVERY_MS = 20
const PLAYED_EVERY = 5 * MINUTE

export function play(s: PlaySetting): Played {
  const wall = s.wall ?? Date.now
  const { plan, day, tell } = s
  const clock = createDayClock()
  const mine = [...day.precincts].filter(([precinct]) => s.keys.has(precinct))
  const allHaveGaps = mine.every(([, script]) => script.gaps.length > 0)
  const tablets = mine.flatMap(([precinct]) => {
    const key = s.keys.get(precinct)
    if (key === undefined) return []
    const { periodSeconds, silentAfterSeconds } = plan.policy.heartbeat
    const heartbeatAt = (at: Instant) => day.heartbeatAt(precinct, at)
    return [
      createTablet({
        url: s.url,
        anyCertificate: s.anyCertificate ?? false,
        key,
        precinct,
        script: () => day.precincts.get(precinct)!,
        mustLook: allHaveGaps,
        heartbeatAt,
        periodSeconds,
        silentAfterSeconds,
        clock,
        wall,
        tell,
      }),
    ]
  })

  let played = 0
  let toldAt = 0
  let caughtUp = false
  let settledAt: Instant | null = null
  /** Hushed: whom to tell that all are quiet, and at which speed they may speak again. */
  let hushed: { quiet: (() => void) | null; until: number | null } | null = null
  let timer: NodeJS.Timeout
  const tick = () => {
    const at = wall()
    // What was due before this look decides: what falls due in it can't be with the office yet.
    const before = clock.now(at)
    if (before !== null && tablets.every(t => t.settled(before))) {
      settledAt = before
      if (at - toldAt >= SETTLED_EVERY_MS) {
        toldAt = at
        tell({ settled: Math.floor(before) })
      }
      if (!caughtUp) {
        caughtUp = true
        tell({ caughtUp: hhmmOf(before, plan.timeZone) })
      }
      const mark = Math.floor(before / PLAYED_EVERY) * PLAYED_EVERY
      if (mark > played) {
        played = mark
        tell({ played: hhmmOf(mark, plan.timeZone) })
      }
    }
    if (hushed?.quiet && !tablets.some(t => t.asking())) {
      hushed.quiet()
      hushed.quiet = null
    }
    if (hushed?.until != null && clock.speed() === hushed.until) {
      clock.forget()
      hushed = null
    }
    if (!hushed) for (const tablet of tablets) tablet.tick(at)
    // A day that hardly moves waits for its tablets.
    const waited = hushed !== null || clock.now(at) === null || clock.speed() <= STILL
    const wait = waited ? FASTEST_TICK_MS : TICK_DAY_MS / clock.speed()
    timer = setTimeout(tick, Math.min(SLOWEST_TICK_MS, Math.max(FASTEST_TICK_MS, wait)))
  }
  timer = setTimeout(tick, 0)
  return {
    stop() {
      clearTimeout(timer)
      for (const tablet of tablets) tablet.close()
    },
    settledAt: () => settledAt,
    hush: quiet => {
      hushed = { quiet, until: null }
    },
    speak: speed => {
      if (hushed) hushed.until = speed
    },
    changeableFrom: precinct => {
      const now = clock.now(wall())
      const tablet = tablets.find(t => t.precinct === precinct)
      return now === null ? null : whenOrdered(now, tablet?.lastSent() ?? null)
    },
  }
}
