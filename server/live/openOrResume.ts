import type { DayState } from '../domain/day/state.ts'
import type { DayLogWriter } from '../domain/log/dayLog.ts'
import type { Plan } from '../domain/plan/plan.ts'
import type { Instant } from '../domain/time.ts'
import type { DayClock } from './clock.ts'
import { systemEntry } from './evaluator.ts'

/** The day's first entry, or that our own outage is over: before anything is judged (P8). */
export async function openOrResume(
  on: {
    day: string
    plan: Plan
    log: DayLogWriter
    clock: DayClock
    state: DayState
    resumed(lastKnownAt: Instant): Promise<void>
  },
  planHash: string,
): Promise<void> {
  const { day, plan, log, clock, state } = on
  if (state.cursor === 0) {
    await log.decide(day, now => ({
      entries: [systemEntry('DayOpened', now, { planHash, kind: plan.kind })],
      result: null,
    }))
    return
  }
  // A practice clock stands still while we are down, so its gap can't be seen: a restart always counts as one.
  const gap = clock.now() - state.recordedAt
  if (plan.kind === 'practice' || gap > plan.policy.heartbeat.lateAfterSeconds * 1_000)
    await on.resumed(state.recordedAt)
}
