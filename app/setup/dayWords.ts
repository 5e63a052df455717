import { dateOf, hhmmOf } from '../../server/domain/plan/zone.ts'
import { fromRfc3339 } from '../../server/domain/time.ts'
import type { SetupDay } from './days.tsx'

/** Where a day is, in words. */
export const dayIs: Readonly<Record<SetupDay['is'], string>> = {
  kept: 'kept, not opened',
  running: 'running',
  stopped: 'begun, not running now',
  closed: 'closed',
}

/** The clock of a running day in its county's time, and how fast it runs; empty where none runs. */
export function clockOf({ clock, timeZone, kind, morningUntil }: SetupDay): string {
  if (clock === null) return ''
  const at = fromRfc3339(clock.now)
  const time = `${dateOf(at, timeZone)} ${hhmmOf(at, timeZone)}`
  if (kind === 'election') return time
  if (morningUntil !== null)
    return `${time}, playing the morning up to ${hhmmOf(fromRfc3339(morningUntil), timeZone)}`
  return `${time}, ${clock.speed === 0 ? 'standing still' : `${clock.speed} times as fast`}`
}
