import { fromRfc3339, type Instant } from '../../server/domain/time.ts'
import type { Heard } from '../../server/protocol/device.ts'

/** What the office last said of its time, and when that reached this device (wall ms by its own clock). */
export type HeardClock = { day: Instant; speed: number; wall: number }

export function heardClock(heard: Heard, wall: number): HeardClock {
  return { day: fromRfc3339(heard.recordedAt), speed: heard.speed, wall }
}

/**
 * Day time at a wall instant of this device, carried on from what the office last said: so a wrong clock
 * doesn't matter, only its rate (P7). May lie before what was heard.
 */
export function dayTimeAt(heard: HeardClock, wall: number): Instant {
  return heard.day + heard.speed * (wall - heard.wall)
}
