import type { Instant } from '../domain/time.ts'

/**
 * The clock of one day. On a real day it is the wall clock; on a practice day it runs at its speed from where
 * it stood, stops while the server is down and goes on from there. It never goes back.
 */
export type DayClock = {
  now(): Instant
  speed(): number
  /** Milliseconds of the day that went by in the last `agoMs` of the wall clock, by the speeds that it had then. */
  elapsed(agoMs: number): number
  /** Practice days only. The instant stays continuous; only the rate changes. */
  setSpeed(speed: number): void
  /** Forgets the speeds that were: the present one counts for what happened before, too. */
  forgetSpeeds(): void
  onSpeed(listener: (speed: number) => void): () => void
}

/** The speed of a practice day that waits for somebody: its time goes by, but none of it is noticed. */
export const STILL = 0.001
/** The speed of a practice day that its trainer lets stand still: it is looked at no more often than any other. */
export const PAUSED = 0.002

export function realClock(wall: () => number): DayClock {
  let last = 0
  return {
    now: () => {
      last = Math.max(last, wall())
      return last
    },
    speed: () => 1,
    elapsed: agoMs => agoMs,
    setSpeed: () => {
      throw new Error('the clock of a real day has one speed')
    },
    forgetSpeeds: () => {},
    onSpeed: () => () => {},
  }
}

/** Of a closed day: it stands where it was closed. */
export function stoodClock(at: Instant): DayClock {
  return {
    now: () => at,
    speed: () => 0,
    elapsed: () => 0,
    setSpeed: () => {
      throw new Error('a closed day stands')
    },
    forgetSpeeds: () => {},
    onSpeed: () => () => {},
  }
}

/** Changes of speed that are remembered: a practice day has a few, its quickly played morning some hundreds. */
const SPEEDS_KEPT = 5_000

/** @param speed day seconds per wall second, over 0 */
export function practiceClock(wall: () => number, startAt: Instant, speed: number): DayClock {
  let base = { day: startAt, wall: wall(), speed }
  /** Speeds that came before, latest last; each held until the next one's wall instant. */
  const before: Array<{ wall: number; speed: number }> = []
  let last = startAt
  const listeners = new Set<(speed: number) => void>()
  const now = () => {
    last = Math.max(last, Math.floor(base.day + Math.max(0, wall() - base.wall) * base.speed))
    return last
  }
  return {
    now,
    speed: () => base.speed,
    elapsed: agoMs => {
      const from = wall() - agoMs
      let until = wall()
      let elapsed = 0
      for (let i = before.length; ; i--) {
        // Before the first speed that is known, that one is taken to have held.
        const segment = i === before.length ? base : before[i]!
        if (segment.wall <= from || i === 0) return elapsed + Math.max(0, until - from) * segment.speed
        elapsed += (until - segment.wall) * segment.speed
        until = segment.wall
      }
    },
    setSpeed: next => {
      if (next === base.speed) return
      before.push({ wall: base.wall, speed: base.speed })
      if (before.length > SPEEDS_KEPT) before.shift()
      base = { day: now(), wall: wall(), speed: next }
      for (const listener of listeners) listener(next)
    },
    forgetSpeeds: () => {
      before.length = 0
    },
    onSpeed: listener => {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
  }
}
