import type { NewEntry } from '../domain/log/dayLog.ts'
import { type Instant, MINUTE, toRfc3339 } from '../domain/time.ts'

/**
 * Unchanged heartbeats are acknowledged as heard and not written; once a minute of the day one entry lists who
 * was heard since the list before. Until then they are known here, so no verdict is passed on older news.
 */
export type Hearing = {
  heard(precinct: string, at: Instant): void
  /** Latest instant known here, or null. */
  lastHeard(precinct: string): Instant | null
  /** The list as an entry, when the minute is over or `atOnce`; null: nothing to list. */
  list(now: Instant, atOnce?: boolean): NewEntry | null
  /** The list that was made is written: it starts anew. */
  listed(entry: NewEntry): void
}

export function createHearing(start: Instant): Hearing {
  const since = new Map<string, Instant>()
  let lastList = start
  return {
    heard: (precinct, at) => void since.set(precinct, at),
    lastHeard: precinct => since.get(precinct) ?? null,
    list: (now, atOnce = false) => {
      if (since.size === 0 || (!atOnce && now - lastList < MINUTE)) return null
      const heard: Record<string, string> = {}
      for (const [precinct, at] of since) heard[precinct] = toRfc3339(at)
      return {
        kind: 'DevicesHeard',
        version: 1,
        precinct: null,
        source: 'system',
        number: null,
        occurredAt: now,
        origin: { via: 'system' },
        body: { heard },
      }
    },
    listed: entry => {
      lastList = entry.occurredAt
      const { heard } = entry.body as { heard: Record<string, string> }
      for (const [precinct, at] of Object.entries(heard))
        if (since.get(precinct) === Date.parse(at)) since.delete(precinct)
    },
  }
}
