import type { DayInput } from '../forecast/input.ts'
import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'
import { arrivedBy } from '../turnout/arrived.ts'
import { closedStretches, overlap } from '../turnout/hours.ts'
import { QUARTER } from '../turnout/profile.ts'
import type { LineMember } from './members.ts'

/** Minutes a check-in station takes for a voter, > 0, and the busy station-minutes that this was seen in, ≥ 0. */
export type Service = { minutes: number; seenMinutes: number }

/**
 * The planned time is worth this many voters seen: the rate is gamma, with that shape beforehand, and a Poisson
 * count of voters in busy station-minutes weighs in (A. Gelman et al., "Bayesian Data Analysis", 3rd ed., section
 * 2.6). An assumption.
 */
const PLANNED_WORTH = 20

/**
 * How long a station takes, from what was checked in between two counts while people were waiting all the time:
 * (busy station-minutes + 20 × the planned time) ÷ (voters seen + 20). People were waiting where the lines reported
 * at both counts (within a quarter of an hour) and between them were at least one a station. Stations are taken to
 * have been as many as work now; stretches in which nobody could vote don't count.
 */
export function serviceSeen(
  day: DayInput,
  members: readonly LineMember[],
  profile: readonly number[],
): Service {
  const planned = day.policy.checkInMinutes
  const lines = members.flatMap(({ input }) => input.lines).sort((a, b) => a.at - b.at)
  const stations = members.reduce((sum, { input }) => sum + input.stations.working, 0)
  let served = 0
  let seenMinutes = 0
  if (stations > 0 && lines.some(line => line.is >= stations))
    for (const { input } of members) {
      if (input.counts.length < 2) continue
      const { arrived } = arrivedBy(day, input, profile)
      const closed = closedStretches(day, input, day.at)
      for (let i = 1; i < arrived.length; i++) {
        const [a, b] = [arrived[i - 1]!, arrived[i]!]
        if (b.at <= a.at || !waitingAllTheTime(lines, a.at, b.at, stations)) continue
        served += b.checkedIn - a.checkedIn
        seenMinutes += ((b.at - a.at - overlap(closed, a.at, b.at)) / MINUTE) * input.stations.working
      }
    }
  return { minutes: (seenMinutes + PLANNED_WORTH * planned) / (served + PLANNED_WORTH), seenMinutes }
}

function waitingAllTheTime(
  lines: ReadonlyArray<{ at: Instant; is: number }>,
  from: Instant,
  to: Instant,
  least: number,
): boolean {
  let atStart: { off: number; is: number } | null = null
  let atEnd: { off: number; is: number } | null = null
  for (const { at, is } of lines) {
    if (at > from && at < to && is < least) return false
    const [before, after] = [Math.abs(at - from), Math.abs(at - to)]
    if (before <= QUARTER && (!atStart || before < atStart.off)) atStart = { off: before, is }
    if (after <= QUARTER && (!atEnd || after < atEnd.off)) atEnd = { off: after, is }
  }
  return atStart !== null && atEnd !== null && atStart.is >= least && atEnd.is >= least
}
