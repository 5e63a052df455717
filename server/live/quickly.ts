import type { Instant } from '../domain/time.ts'
import { type DayClock, STILL } from './clock.ts'

/**
 * Plays a stretch of a practice day as fast as this machine bears: the clock runs quickly, and stands still while
 * the tablets have not said, or the rules not judged, what was due LAG before. So a slow machine takes longer,
 * and nothing of the day is later than it would have been at its own pace.
 */
export type Quickly = {
  clock: DayClock
  until: Instant
  /** Day seconds per second while nobody lags. */
  speed: number
  /** All that was due by then is said, and judged. */
  doneBy(): Instant
  /** True ends the run early: whoever speaks for the tablets is gone. */
  ended(): boolean
  onProgress?(now: Instant): void
}

const LAG_MS = 60_000
const LOOK_MS = 5

export async function playQuickly({
  clock,
  until,
  speed,
  doneBy,
  ended,
  onProgress,
}: Quickly): Promise<void> {
  while (clock.now() < until && !ended()) {
    const wanted = clock.now() - doneBy() > LAG_MS ? STILL : speed
    if (clock.speed() !== wanted) clock.setSpeed(wanted)
    onProgress?.(clock.now())
    await new Promise(resolve => setTimeout(resolve, LOOK_MS))
  }
  clock.setSpeed(1)
  while (doneBy() < until && !ended()) await new Promise(resolve => setTimeout(resolve, LOOK_MS))
}
