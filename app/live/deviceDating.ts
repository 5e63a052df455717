import type { Instant } from '../../server/domain/time.ts'
import {
  datedNow,
  heardAt,
  isOpenQuestion,
  lookAt,
  newTrail,
  type Reading,
  type Stamp,
  setSince,
  type Trail,
} from './deviceSteady.ts'
import type { OutboxStore } from './outboxStore.ts'

/** The trail of this device's clock since the page was opened. */
export type SteadyClock = {
  /** Compares the two clocks; to be done every few seconds, since one that is set twice looks as if it were not. */
  look(): void
  /** The office said its day time, which runs as the wall clock does. */
  heard(day: Instant): void
  stamp(): Stamp
  trail(): Trail
  /** Tells by how many ms the clock was found to have been set. */
  onSet(listener: (by: number) => void): void
  /** The office should be heard before anything is sent: only its time can date what was said before. */
  asksOffice(): boolean
}

export function createSteadyClock(read: () => Reading, life: string): SteadyClock {
  const listeners = new Set<(by: number) => void>()
  const start = read()
  let trail = newTrail(life, start)

  function take(next: Trail) {
    const by = setSince(next, Number.NEGATIVE_INFINITY) - setSince(trail, Number.NEGATIVE_INFINITY)
    trail = next
    if (by !== 0) for (const listener of listeners) listener(by)
  }

  return {
    look: () => take(lookAt(trail, read())),
    heard: day => take(heardAt(trail, day, read())),
    stamp() {
      take(lookAt(trail, read()))
      return { life, mono: trail.last.mono, sure: trail.contact !== null }
    },
    trail: () => trail,
    onSet: listener => void listeners.add(listener),
    asksOffice: () => trail.contact === null || isOpenQuestion(trail),
  }
}

/** A store whose reports carry what dates them, and come out with their time by the clock as it runs now. */
export function dating(store: OutboxStore, clock: SteadyClock): OutboxStore {
  const now = () => {
    clock.look()
    return clock.trail()
  }
  return {
    ...store,
    add: (said, limit) => store.add({ ...said, stamp: clock.stamp() }, limit),
    again: (of, said, limit) => store.again(of, { ...said, stamp: clock.stamp() }, limit),
    async waiting(max) {
      const reports = await store.waiting(max)
      return reports.map(report => datedNow(now(), report))
    },
    async summary() {
      const summary = await store.summary()
      const here = (reports: typeof summary.reports) => reports.map(report => datedNow(now(), report))
      return { ...summary, reports: here(summary.reports), leftovers: here(summary.leftovers) }
    },
  }
}
