import { connect } from '../../db/connect.ts'
import { openDayLog } from '../../db/dayLog.ts'
import { openDays } from '../../db/days.ts'
import { planHash } from '../../server/cli/planFiles.ts'
import type { NewEntry } from '../../server/domain/log/dayLog.ts'
import { indexOf } from '../../server/domain/plan/brief.ts'
import type { Plan } from '../../server/domain/plan/plan.ts'
import { HOUR, MINUTE, SECOND, toRfc3339 } from '../../server/domain/time.ts'
import { createReplay } from '../../server/live/replay.ts'
import { keepDay } from '../../server/openDay.ts'
import { aWidePlan } from '../support/aPlan.ts'
import { type Figure, figure, freshBenchDatabase, percentile } from './figure.ts'

const ENTRIES = 100_000
/** No divisor of the resting places, so that no jump ends on one by design. */
const BATCH = 625
const JUMPS = 60
/** One in so many was told half an hour late, so that the two views differ. */
const LATE_EVERY = 50
/** A picture that is dragged to at five a second must come within this. */
const GOAL_MS = 200

/**
 * Milliseconds to the picture of an instant anywhere in a log of 100,000 entries, as known and as happened, for a
 * county of 64 precincts and one of 1,000; what the first request of a day costs, and what a day under review holds.
 */
export async function replayJump(url: string): Promise<Figure[]> {
  const figures: Figure[] = []
  for (const precincts of [64, 1_000]) figures.push(...(await jumpsIn(url, precincts)))
  return figures
}

async function jumpsIn(url: string, precincts: number): Promise<Figure[]> {
  const plan = aWidePlan(precincts)
  const { brief } = indexOf(plan, 'bench')
  const sql = connect(await freshBenchDatabase(url), { max: 4 })
  const clock = { now: brief.opensAt }
  const log = openDayLog(sql, { now: () => clock.now })
  try {
    const { id: day } = await keepDay(openDays(sql), plan, planHash(plan), Date.now(), null)
    for (let from = 0; from < ENTRIES; from += BATCH) {
      clock.now = brief.opensAt + Math.floor((from / ENTRIES) * 12 * HOUR)
      await log.decide(day, now => ({ entries: usual(plan, from, now), result: null }))
    }
    const replay = createReplay({ log, planOf: async () => plan, nowOf: () => null, people: () => ({}) })
    const gc = (globalThis as { gc?: () => void }).gc
    gc?.()
    const heapBefore = process.memoryUsage().heapUsed
    const timed = async (at: number, view: 'known' | 'happened') => {
      const from = performance.now()
      const answer = await replay.picture(day, { at, view })
      if (!answer.ok) throw new Error(answer.message)
      return performance.now() - from
    }
    const first = await timed(brief.opensAt + HOUR, 'known')
    const firstHappened = await timed(brief.opensAt + HOUR, 'happened')
    const jumps = { known: [] as number[], happened: [] as number[] }
    for (let i = 0; i < JUMPS; i++) {
      // Far jumps in an order that no neighbour helps: the golden section spreads them over the day.
      const at = brief.opensAt + Math.floor(((i * 0.618) % 1) * 12 * 60) * MINUTE + 30 * SECOND
      for (const view of ['known', 'happened'] as const) jumps[view].push(await timed(at, view))
    }
    gc?.()
    const held = (process.memoryUsage().heapUsed - heapBefore) / 1_048_576
    const sorted = (view: 'known' | 'happened') => jumps[view].sort((a, b) => a - b)
    const named = (what: string) => `replayJump ${what} ${precincts}`
    return [
      figure(named('p50'), percentile(sorted('known'), 0.5), 'ms', GOAL_MS),
      figure(named('p99'), percentile(sorted('known'), 0.99), 'ms', GOAL_MS),
      figure(named('happened p50'), percentile(sorted('happened'), 0.5), 'ms', GOAL_MS),
      figure(named('happened p99'), percentile(sorted('happened'), 0.99), 'ms', GOAL_MS),
      figure(named('first'), first, 'ms'),
      figure(named('first happened'), firstHappened, 'ms'),
      ...(gc ? [figure(named('holds'), held, 'MB')] : []),
    ]
  } finally {
    await log.close()
    await sql.end()
  }
}

/** A batch of a day's usual mix, round and round the precincts. */
function usual(plan: Plan, from: number, now: number): NewEntry[] {
  const made: NewEntry[] = []
  for (let i = from; i < from + BATCH; i++) {
    const precinct = plan.precincts[i % plan.precincts.length]!.code
    const round = Math.floor(i / plan.precincts.length)
    const occurredAt = i % LATE_EVERY === 0 ? now - 30 * MINUTE : now
    const head = {
      version: 1,
      precinct,
      source: `device:${precinct}`,
      number: round + 1,
      occurredAt,
      origin: { via: 'device' as const },
    }
    const bodies = [
      {
        kind: 'CountsReported',
        body: { checkedIn: round, publicCount: { [`TW-${precinct.slice(2)}`]: round } },
      },
      { kind: 'LineReported', body: { inLine: round % 30, stationsWorking: 3 } },
      {
        kind: 'HeartbeatReceived',
        number: null,
        body: { counts: { checkedIn: { is: round, asOf: toRfc3339(occurredAt) } }, device: { battery: 80 } },
      },
    ]
    made.push({ ...head, ...bodies[round % 3]! } as unknown as NewEntry)
  }
  return made
}
