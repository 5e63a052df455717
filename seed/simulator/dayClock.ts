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
  /** Grows when the day's time was set anew: texts made before are of another reckoning. */
  epoch(): number
}

/** A `heard` that lies this many wall milliseconds off means that the day was stopped or set, not that it was slow to come. */
const AHEAD_MS = 100
const BEHIND_MS = -300
/** Below this the reckoning isn't touched. */
const CLOSE_MS = 2

export function createDayClock(): DayClock {
  let anchor: { day: Instant; wall: number; speed: number } | null = null
  let sure = false
  let epoch = 0
  const now = (wall: number) => (anchor ? anchor.day + (wall - anchor.wall) * anchor.speed : null)
  return {
    now,
    speed: () => anchor?.speed ?? 1,
    heard(recordedAt, speed, wall) {
      const off = anchor ? (recordedAt - now(wall)!) / speed : Number.POSITIVE_INFINITY
      if (!anchor || !sure || anchor.speed !== speed || off > AHEAD_MS || off < BEHIND_MS) {
        if (!anchor || anchor.speed !== speed || off > AHEAD_MS || off < BEHIND_MS) epoch++
        anchor = { day: recordedAt, wall, speed }
        sure = true
      } else if (off > CLOSE_MS) anchor = { day: recordedAt, wall, speed }
    },
    atLeast(recordedAt, wall) {
      if (anchor && sure && (recordedAt - now(wall)!) / anchor.speed > CLOSE_MS)
        anchor = { day: recordedAt, wall, speed: anchor.speed }
    },
    unsure: () => {
      sure = false
    },
    wallText: at => toRfc3339(Math.round(anchor ? anchor.wall + (at - anchor.day) / anchor.speed : at)),
    epoch: () => epoch,
  }
}
