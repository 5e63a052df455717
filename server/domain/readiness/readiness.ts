import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'
import type { NetworkStep } from './network.ts'
import { openingNetwork, withImplied } from './network.ts'

/** How far the opening of one precinct is, by medians alone: it serves where there is no forecast (ready.ts). */
export type Readiness = {
  /** Opening steps done, said or implied, of how many. */
  done: number
  of: number
  /** Whole and part minutes behind the usual times, ≥ 0. */
  minutesBehind: number
  /** Where everything is done: when the last step was; else the longest path of what remains, never before now. */
  readyAt: Instant
  /** The step that holds it up: not done, all it needs done, on the longest remaining path. Null when ready. */
  holding: string | null
  /** First instant at which the precinct was at least `threshold` minutes behind, where it is now. */
  behindSince: Instant | null
}

/**
 * Works out readiness from the steps done.
 *
 * Lateness is the larger of two: how long ago the most overdue step that isn't done should usually have been
 * done, and how late the last step that is done came (as long as others remain: it moves them all). A step
 * counts as done when one that needs it is done, at that one's instant: nobody verifies a tape before the
 * tabulator runs, and a forgotten tap is not a late opening.
 *
 * The expected ready instant is the critical path (longest path) over the steps that remain: each starts when
 * the last of its prerequisites is done, takes its median, and ends no earlier than now.
 *
 * @param steps the plan's steps (closing ones are left aside)
 * @param reportAt when the team is to be there: the usual times count from here
 * @param done steps done at their instants, by code
 * @param threshold minutes behind that `behindSince` asks about, > 0
 */
export function readiness(
  steps: readonly NetworkStep[],
  reportAt: Instant,
  done: Readonly<Record<string, Instant>>,
  now: Instant,
  threshold: number,
): Readiness {
  const { order, usual } = openingNetwork(steps)
  const doneAt = withImplied(order, done)

  let count = 0
  let behind = 0
  let behindSince: Instant | null = null
  let lastCode: string | null = null
  let lastAt = Number.NEGATIVE_INFINITY
  for (const step of order) {
    const at = doneAt[step.code]
    if (at !== undefined) {
      count++
      if (at >= lastAt) {
        lastAt = at
        lastCode = step.code
      }
      continue
    }
    const due = reportAt + usual[step.code]! * MINUTE
    if (now <= due) continue
    behind = Math.max(behind, (now - due) / MINUTE)
    const since = Math.ceil(due + threshold * MINUTE)
    if (since <= now && (behindSince === null || since < behindSince)) behindSince = since
  }
  if (count === order.length)
    return {
      done: count,
      of: count,
      minutesBehind: 0,
      readyAt: count ? lastAt : reportAt,
      holding: null,
      behindSince: null,
    }
  if (lastCode !== null) {
    const due = reportAt + usual[lastCode]! * MINUTE
    const late = (lastAt - due) / MINUTE
    behind = Math.max(behind, late)
    const since = Math.ceil(due + threshold * MINUTE)
    if (late >= threshold && (behindSince === null || since < behindSince)) behindSince = since
  }

  const finish: Record<string, Instant> = Object.create(null)
  let readyAt = now
  let last: NetworkStep | null = null
  for (const step of order) {
    const at = doneAt[step.code]
    if (at !== undefined) {
      finish[step.code] = at
      continue
    }
    let start = reportAt
    for (const before of step.after) start = Math.max(start, finish[before] ?? reportAt)
    const end = Math.max(now, start + step.medianMinutes * MINUTE)
    finish[step.code] = end
    if (last === null || end > readyAt) {
      readyAt = Math.max(readyAt, end)
      last = step
    }
  }
  return {
    done: count,
    of: order.length,
    minutesBehind: behind,
    readyAt: Math.round(readyAt),
    holding: last && holderOf(last, order, doneAt, finish),
    behindSince,
  }
}

/**
 * Walks back from the last step along the latest prerequisite that isn't done; each step at most once. (ready.ts has
 * no single last step to walk back from: there it is the start of the chain that is longest by its means.)
 */
function holderOf(
  last: NetworkStep,
  order: readonly NetworkStep[],
  doneAt: Readonly<Record<string, Instant>>,
  finish: Readonly<Record<string, Instant>>,
): string {
  let at = last
  for (let walked = 0; walked < order.length; walked++) {
    let previous: NetworkStep | null = null
    for (const step of order) {
      if (!at.after.includes(step.code) || step.code === at.code || doneAt[step.code] !== undefined) continue
      if (previous === null || finish[step.code]! > finish[previous.code]!) previous = step
    }
    if (previous === null) break
    at = previous
  }
  return at.code
}
