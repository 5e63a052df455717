import { own as ownOf } from '../day/bounded.ts'
import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'
import type { Grid } from './grid.ts'
import {
  AT_ONCE,
  chanceBy,
  durationOf,
  exactly,
  laterOf,
  meanOf,
  minutesBy,
  remaining,
  sumOf,
} from './grid.ts'
import type { NetworkStep } from './network.ts'
import { openingNetwork, withImplied } from './network.ts'
import type { Pace, PaceSaid } from './pace.ts'
import { atPace, paceSaid, paceUnderWay } from './pace.ts'

/**
 * When a precinct will be ready: its opening steps as a precedence network of uncertain durations. A step begins
 * when all it needs is done, so its end is the latest of those ends plus its own duration: sums by convolution,
 * joins by the product of distribution functions (grid.ts says why that is the safe side).
 */
export type Ready = {
  done: number
  of: number
  /** P(ready by the legal hour), 0–1; 1 or 0 where everything is done. */
  chance: number
  /** Instants by which it is ready with a chance of 10, 50 and 90 in a hundred. */
  by10: Instant
  by50: Instant
  by90: Instant
  /** The step that holds it up: its prerequisites are done and it begins the chain that takes longest. Null: ready. */
  holding: string | null
  /**
   * The latest instant at which the holding step must be done for the rest to end by the legal hour with a chance
   * of eight in ten: help that comes too late for that no longer makes it open on time. Null: ready.
   */
  helpBy: Instant | null
}

/** The forecast, and what it was read from: it is ready at `from` and the minutes of `rest`. */
export type ReadyTime = { ready: Ready; from: Instant; rest: Grid }

/** Chance with which what follows the holding step must fit before the legal hour. */
const USEFUL = 0.8

/**
 * @param steps the opening steps that apply
 * @param reportAt when the team is to be there; no step begins before
 * @param done instants of the steps done, by code
 * @param pace how fast people are today (pace.ts)
 */
export function readyForecast(
  steps: readonly NetworkStep[],
  reportAt: Instant,
  opensAt: Instant,
  done: Readonly<Record<string, Instant>>,
  now: Instant,
  pace: Pace,
): ReadyTime {
  const { order } = openingNetwork(steps)
  const doneAt = withImplied(order, done)
  const left = order.filter(step => doneAt[step.code] === undefined)
  const of = order.length
  if (left.length === 0) {
    const at = Math.max(reportAt, ...order.map(step => doneAt[step.code]!))
    const chance = at <= opensAt ? 1 : 0
    const ready = { done: of, of, chance, by10: at, by50: at, by90: at, holding: null, helpBy: null }
    return { ready, from: at, rest: AT_ONCE }
  }
  const start = Math.max(now, reportAt)
  const ends = new Map<string, Grid>()
  const owns = new Map<string, Grid>()
  for (const step of left) {
    const duration = atPace(durationOf(step.medianMinutes, step.p90Minutes), pace)
    const waits = step.after.filter(code => ends.has(code))
    const from = beginning(step, doneAt, reportAt)
    const elapsed = waits.length === 0 ? (start - from) / MINUTE : 0
    const own = remaining(duration, elapsed)
    owns.set(step.code, own)
    let begins = elapsed < 0 ? exactly(-elapsed) : AT_ONCE
    for (const code of waits) begins = laterOf(begins, ends.get(code)!)
    ends.set(step.code, sumOf(begins, own))
  }
  const rest = lastOf(left, ends)
  const holding = holderOf(left, ends, owns)
  const at = (part: number) => Math.round(start + minutesBy(rest, part) * MINUTE)
  const ready = {
    done: of - left.length,
    of,
    chance: chanceBy(rest, (opensAt - start) / MINUTE),
    by10: at(0.1),
    by50: at(0.5),
    by90: at(0.9),
    holding,
    helpBy: Math.floor(opensAt - minutesBy(restAfter(holding, left, owns), USEFUL) * MINUTE),
  }
  return { ready, from: start, rest }
}

/**
 * What the opening says of pace: the steps done, and those under way; each from the last of its prerequisites (or
 * reporting time) on, where all of them were said.
 */
export function paceSaidBy(
  steps: readonly NetworkStep[],
  reportAt: Instant,
  done: Readonly<Record<string, Instant>>,
  now: Instant,
): PaceSaid[] {
  const { order } = openingNetwork(steps)
  const doneAt = withImplied(order, done)
  const said: PaceSaid[] = []
  for (const step of order) {
    const at = ownOf(done, step.code)
    // A step that follows from a later one was forgotten: when it was done isn't known.
    if (at === undefined && doneAt[step.code] !== undefined) continue
    if (step.after.some(code => ownOf(done, code) === undefined)) continue
    const duration = durationOf(step.medianMinutes, step.p90Minutes)
    const minutes = ((at ?? now) - beginning(step, done, reportAt)) / MINUTE
    const one = at === undefined ? paceUnderWay(duration, minutes) : paceSaid(duration, minutes)
    if (one) said.push(one)
  }
  return said
}

function beginning(step: NetworkStep, doneAt: Readonly<Record<string, Instant>>, reportAt: Instant): Instant {
  let from = reportAt
  for (const code of step.after) from = Math.max(from, ownOf(doneAt, code) ?? reportAt)
  return from
}

/** When all are done: the latest of those that nothing after them in the order waits for. */
function lastOf(left: readonly NetworkStep[], ends: ReadonlyMap<string, Grid>): Grid {
  const awaited = new Set<string>()
  let last: Grid = AT_ONCE
  for (let i = left.length - 1; i >= 0; i--) {
    const step = left[i]!
    if (!awaited.has(step.code)) last = laterOf(last, ends.get(step.code)!)
    for (const code of step.after) awaited.add(code)
  }
  return last
}

/** Of the steps that can be worked on, the one that begins the longest chain, by mean times. */
function holderOf(
  left: readonly NetworkStep[],
  ends: ReadonlyMap<string, Grid>,
  owns: ReadonlyMap<string, Grid>,
): string {
  const tail = new Map<string, number>()
  let holder = left[0]!.code
  let longest = -1
  for (let i = left.length - 1; i >= 0; i--) {
    const step = left[i]!
    let most = 0
    for (const next of left)
      if (next.after.includes(step.code))
        most = Math.max(most, meanOf(owns.get(next.code)!) + (tail.get(next.code) ?? 0))
    tail.set(step.code, most)
    if (step.after.some(code => ends.has(code))) continue
    const chain = meanOf(ends.get(step.code)!) + most
    if (chain >= longest) {
      longest = chain
      holder = step.code
    }
  }
  return holder
}

/** How long the steps that wait for this one take once it is done, all else that they need being done. */
function restAfter(code: string, left: readonly NetworkStep[], owns: ReadonlyMap<string, Grid>): Grid {
  const ends = new Map<string, Grid>([[code, AT_ONCE]])
  const after: NetworkStep[] = []
  for (const step of left) {
    const waits = step.after.filter(before => ends.has(before))
    if (step.code === code || waits.length === 0) continue
    let start: Grid = AT_ONCE
    for (const before of waits) start = laterOf(start, ends.get(before)!)
    ends.set(step.code, sumOf(start, owns.get(step.code)!))
    after.push(step)
  }
  return lastOf(after, ends)
}
