import type { DayRecord, Days } from '../db/days.ts'
import type { DayLogReader } from './domain/log/dayLog.ts'
import { reviewRoutes } from './http/reviewRoutes.ts'
import type { Route } from './http/routes.ts'
import { createReplay, type Replay } from './live/replay.ts'
import type { RunningDays } from './runningDays.ts'

/** The replay of every day that is kept, and the routes that ask it. */
export function composeReview(deps: {
  days: Days
  log: DayLogReader
  live: Pick<RunningDays, 'running' | 'now'>
  people(): Record<string, string>
}): { replay: Replay; routes: Route[] } {
  const { days, log, live, people } = deps
  const replay = createReplay({
    log,
    planOf: async day => {
      const record = await days.get(day)
      return record && days.plan(record.planHash)
    },
    nowOf: live.now,
    people,
  })
  const is = ({ id, closedAt }: DayRecord) => {
    if (live.running.has(id)) return 'running' as const
    return closedAt === null ? ('stopped' as const) : ('closed' as const)
  }
  /** Days of which something is recorded. */
  async function recorded() {
    const all = []
    for (const record of await days.list()) {
      if ((await log.head(record.id)).position === 0) continue
      const { id, county, name, kind, date } = record
      all.push({ id, county, name, kind, date, is: is(record) })
    }
    return all
  }
  return { replay, routes: reviewRoutes({ replay, days: recorded }) }
}
