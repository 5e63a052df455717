import type { Instant } from '../domain/time.ts'

/**
 * The clock of one day. On a real day it is the wall clock; on a practice day it runs at its speed from where
 * it stood, stops while the server is down and goes on from there. It never goes back.
 */
export type DayClock = {
  now(): Instant
  speed(): number
  /** Practice days only. The instant stays continuous; only the rate changes. */
  setSpeed(speed: number): void
  onSpeed(listener: (speed: number) => void): () => void
}

export function realClock(wall: () => number): DayClock {
  let last = 0
  return {
    now: () => {
      last = Math.max(last, wall())
      return last
    },
    speed: () => 1,
    setSpeed: () => {
      throw new Error('the clock of a real day has one speed')
    },
    onSpeed: () => () => {},
  }
}

/** @param speed day seconds per wall second, over 0 */
export function practiceClock(wall: () => number, startAt: Instant, speed: number): DayClock {
  let base = { day: startAt, wall: wall(), speed }
  let last = startAt
  const listeners = new Set<(speed: number) => void>()
  const now = () => {
    last = Math.max(last, Math.floor(base.day + Math.max(0, wall() - base.wall) * base.speed))
    return last
  }
  return {
    now,
    speed: () => base.speed,
    setSpeed: next => {
      base = { day: now(), wall: wall(), speed: next }
      for (const listener of listeners) listener(next)
    },
    onSpeed: listener => {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
  }
}
