import { type Instant, toRfc3339 } from '../../server/domain/time.ts'

/**
 * What the tablets know of the day's time: learnt from the office (`heard`), carried on by the wall clock.
 * All simulated tablets share one wall clock, so one of these serves them all.
 */
export type DayClock = {
  /** Day time; null: not yet heard. */
  now(wall: number): Instant | null
  speed(): number
  /** The office's day time at about this wall time, and how fast the day runs. */
  heard(recordedAt: Instant, speed: number, wall: number): void
  /** The office's day was at least here: a message was under way meanwhile. */
  atLeast(recordedAt: Instant, wall: number): void
  /** The link broke: the day may have stood still, so the next `heard` is believed whatever it says. */
  unsure(): void
  /** An instant of the day by the tablet's own clock, RFC 3339. */
  wallText(at: Instant): string
  /** Grows when the day's time was set anew: the office began again. */
  epoch(): number
  /** The office forgot the speeds that were: what happened before now is dated by the present one, as it does. */
  forget(): void
  /** Grows with each of these two: texts made before are of another reckoning. */
  reckoning(): number
}

/** A `heard` that lies this many wall milliseconds off means that the day was stopped or set, not that it was slow to come. */
const AHEAD_MS = 100
const BEHIND_MS = -300
/** Below this the reckoning isn't touched. */
const CLOSE_MS = 2

/** Reckonings that are remembered: a quickly played day changes its speed some thousand times. */
const RECKONINGS = 5_000

type Anchor = { day: Instant; wall: number; speed: number }

export function createDayClock(): DayClock {
  let anchor: Anchor | null = null
  /** Those before, latest last: what happened under them is dated by them, as the office does. */
  let before: Anchor[] = []
  let sure = false
  let epoch = 0
  let forgotten = 0
  const now = (wall: number) => (anchor ? anchor.day + (wall - anchor.wall) * anchor.speed : null)

  function reckon(day: Instant, speed: number, wall: number) {
    if (anchor) before.push(anchor)
    if (before.length > RECKONINGS) before.shift()
    // Nothing that was reckoned for later holds any more.
    before = before.filter(a => a.day <= day)
    anchor = { day, wall, speed }
  }

  return {
    now,
    speed: () => anchor?.speed ?? 1,
    heard(recordedAt, speed, wall) {
      if (!anchor) {
        reckon(recordedAt, speed, wall)
        sure = true
        return
      }
      const off = (recordedAt - now(wall)!) / speed
      const set = anchor.speed !== speed || off > AHEAD_MS || off < BEHIND_MS
      // The link broke and the day was set meanwhile: the office began again and knows nothing of before.
      if (!sure && set) {
        epoch++
        anchor = null
        before = []
      }
      if (set || !sure || off > CLOSE_MS) reckon(recordedAt, speed, wall)
      sure = true
    },
    atLeast(recordedAt, wall) {
      if (anchor && sure && (recordedAt - now(wall)!) / anchor.speed > CLOSE_MS)
        reckon(recordedAt, anchor.speed, wall)
    },
    unsure: () => {
      sure = false
    },
    wallText(at) {
      if (!anchor) return toRfc3339(at)
      if (at >= anchor.day) return toRfc3339(Math.round(anchor.wall + (at - anchor.day) / anchor.speed))
      const then = before.findLast(a => a.day <= at) ?? before[0] ?? anchor
      const next = before[before.indexOf(then) + 1] ?? anchor
      return toRfc3339(Math.round(Math.min(next.wall, then.wall + (at - then.day) / then.speed)))
    },
    epoch: () => epoch,
    forget: () => {
      forgotten++
      before = []
    },
    reckoning: () => epoch + forgotten,
  }
}
