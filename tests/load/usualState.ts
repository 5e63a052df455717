import { evolve } from '../../server/domain/day/evolve.ts'
import { initialDay } from '../../server/domain/day/initial.ts'
import type { DayState } from '../../server/domain/day/state.ts'
import type { Entry } from '../../server/domain/log/entry.ts'
import type { PlanIndex } from '../../server/domain/plan/brief.ts'
import { HOUR, MINUTE } from '../../server/domain/time.ts'
import { DAY } from '../support/aPlan.ts'

/** Opening steps done in time, then counts each hour by the profile, and lines where the stations are short. */
export function stateAt(index: PlanIndex, until: number): DayState {
  const state = initialDay(DAY, index)
  let position = 0
  const say = (code: string, at: number, kind: string, body: object) => {
    if (at > until) return
    position += 1
    evolve(
      state,
      {
        kind,
        version: 1,
        precinct: code,
        source: `device:${code}`,
        number: position,
        occurredAt: at,
        recordedAt: at,
        origin: { via: 'device' },
        position,
        body,
      } as Entry,
      index,
    )
  }
  const { reportAt, opensAt } = index.brief
  index.plan.precincts.forEach(({ code, expected, stations }, i) => {
    index.opening.forEach((step, n) => {
      const at = reportAt + (n + 1) * 8 * MINUTE + (i % 7) * MINUTE
      if (step.completedBy === 'step') say(code, at, 'StepCompleted', { step: step.code })
    })
    say(code, reportAt + 2 * MINUTE, 'TeamReported', { present: 8, missing: [] })
    say(code, opensAt, 'PollsOpened', {})
    const most = (stations * 60) / index.plan.policy.checkInMinutes
    for (let hour = 1; hour <= 12; hour++) {
      const came = Math.round((expected / 13) * hour)
      const checkedIn = Math.min(came, Math.round(most * hour))
      say(code, opensAt + hour * HOUR - (i % 15) * MINUTE, 'CountsReported', {
        checkedIn,
        inLine: came - checkedIn + (expected > 1_400 ? 12 + (i % 40) : i % 5),
        ballotsLeft: 1_900 - checkedIn,
      })
    }
  })
  return state
}
