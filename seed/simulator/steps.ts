import type { Step } from '../../server/domain/plan/plan.ts'
import { type Instant, MINUTE, SECOND } from '../../server/domain/time.ts'
import type { Random } from './random.ts'

/** Teams on the practice day keep closer to the usual times than the plan's p90 allows: our assumption. */
const SIGMA = 0.18

/** Whole seconds: what people do has no milliseconds. */
export const whole = (at: number): Instant => Math.round(at / SECOND) * SECOND

/**
 * When each step of a phase is done by a team that begins at `start`: each begins when the last of its
 * prerequisites is done. `given` fixes some of them. Plans are checked, so there is no circle.
 */
export function stepTimes(
  steps: readonly Step[],
  start: Instant,
  random: Random,
  given: Readonly<Record<string, Instant>> = {},
): Map<string, Instant> {
  const done = new Map<string, Instant>()
  const byCode = new Map(steps.map(s => [s.code, s]))
  const finish = (step: Step): Instant => {
    const known = done.get(step.code)
    if (known !== undefined) return known
    let begin = start
    for (const code of step.after) {
      const before = byCode.get(code)
      if (before) begin = Math.max(begin, finish(before))
    }
    const at = given[step.code] ?? whole(begin + random.around(step.medianMinutes, SIGMA) * MINUTE)
    done.set(step.code, at)
    return at
  }
  for (const step of steps) finish(step)
  return done
}
