import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'
import type { Cast, Counted } from './cast.ts'
import { chanceAbout, type Flow } from './flow.ts'

/** Of all ballots spoiled or set aside as provisional are in the low percents (common practice). */
const ASIDE = 0.03

/**
 * What explains a difference. All that was cast by the newest count of the right side is at least, all by the oldest at
 * most what went before the left side was counted: whichever way the ballots went meanwhile. Then those who still vote.
 * Where no tabulator takes ballots, all who came since wait. After everybody has cast nobody came between two counts, and
 * low = high = 0.
 *
 * @param leftAt when the left side was counted
 * @param others what is set aside, counted by itself
 * @param minutes from the ballot to its last sheet in the tabulator
 */
export function bandOf(
  leftAt: Instant,
  others: readonly Counted[],
  cast: Cast,
  flow: Flow,
  minutes: number,
): { low: number; high: number } {
  const came = flow.came(leftAt)
  const running = cast.streams.filter(s => s.stoppedAt === null || s.stoppedAt > s.asOf)
  let first = Number.POSITIVE_INFINITY
  let last = Number.NEGATIVE_INFINITY
  let missed = 0
  for (const { asOf, stoppedAt } of running) {
    if (stoppedAt === null) first = Math.min(first, asOf)
    else missed += Math.max(0, flow.came(Math.min(stoppedAt, leftAt)) - flow.came(asOf))
  }
  for (const { asOf } of [...cast.streams, ...others]) last = Math.max(last, asOf)
  if (first === Number.POSITIVE_INFINITY) first = Math.max(...cast.streams.map(s => s.asOf))
  for (const { asOf } of others) missed += Math.max(0, came - flow.came(asOf)) * ASIDE
  const newest = came - flow.came(last)
  const oldest = came - flow.came(first)
  const below = last === leftAt ? 0 : chanceAbout(flow.loose(leftAt) + flow.loose(last), flow.unsure).below
  const above = first === leftAt ? 0 : chanceAbout(flow.loose(leftAt) + flow.loose(first), flow.unsure).above
  const waiting = cast.blockedSince === null ? 0 : Math.max(0, came - flow.came(cast.blockedSince))
  return {
    low: newest - below,
    high:
      Math.max(oldest, newest) + above + missed + cast.taken + waiting + stillVoting(first, flow, minutes),
  }
}

/**
 * At most so many have a ballot at an instant and haven't cast it: while booths are free a Poisson count whose mean are
 * those who came in the minutes before (M/G/∞; L. Takács, "Introduction to the Theory of Queues", 1962).
 */
function stillVoting(at: Instant, flow: Flow, minutes: number): number {
  if (flow.castAt !== null && at >= flow.castAt) return 0
  const mean = flow.came(at) - flow.came(at - minutes * MINUTE)
  return mean + chanceAbout(mean, flow.unsure).above
}
