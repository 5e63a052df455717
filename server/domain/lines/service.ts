import type { DayInput } from '../forecast/input.ts'
import type { Instant } from '../time.ts'
import { arrivedBy } from '../turnout/arrived.ts'
import { closedStretches } from '../turnout/hours.ts'
import { QUARTER } from '../turnout/profile.ts'
import type { LineMember } from './members.ts'
import { stationMinutes, stationsAt } from './stationsThen.ts'

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
 * at both counts (within a quarter of an hour) and between them were at least one a station. Stations are those that
 * worked then, since one that works by now took nobody in the morning; stretches in which nobody could vote don't
 * count.
 */
export function serviceSeen(
  day: DayInput,
  members: readonly LineMember[],
  profile: readonly number[],
): Service {
  const planned = day.policy.checkInMinutes
  const lines = reportedLines(members)
  let served = 0
  let seenMinutes = 0
  if (lines.some(line => line.enough))
    for (const { input } of members) {
      if (input.counts.length < 2) continue
      const { arrived } = arrivedBy(day, input, profile)
      const closed = closedStretches(day, input, day.at)
      for (let i = 1; i < arrived.length; i++) {
        const [a, b] = [arrived[i - 1]!, arrived[i]!]
        if (b.at <= a.at || !waitingAllTheTime(lines, a.at, b.at)) continue
        const minutes = stationMinutes(input, closed, a.at, b.at)
        if (minutes <= 0) continue
        served += b.checkedIn - a.checkedIn
        seenMinutes += minutes
      }
    }
  return { minutes: (seenMinutes + PLANNED_WORTH * planned) / (served + PLANNED_WORTH), seenMinutes }
}

/** A line that was reported; `enough`: at least one person for each station that worked then. */
type Reported = { at: Instant; enough: boolean }

function reportedLines(members: readonly LineMember[]): Reported[] {
  const lines: Reported[] = []
  for (const { input } of members)
    for (const { at, is } of input.lines) {
      const stations = members.reduce((sum, member) => sum + stationsAt(member.input, at), 0)
      lines.push({ at, enough: stations > 0 && is >= stations })
    }
  return lines
}

function waitingAllTheTime(lines: readonly Reported[], from: Instant, to: Instant): boolean {
  let atStart: { off: number; enough: boolean } | null = null
  let atEnd: { off: number; enough: boolean } | null = null
  for (const { at, enough } of lines) {
    if (at > from && at < to && !enough) return false
    const [before, after] = [Math.abs(at - from), Math.abs(at - to)]
    if (before <= QUARTER && (!atStart || before < atStart.off)) atStart = { off: before, enough }
    if (after <= QUARTER && (!atEnd || after < atEnd.off)) atEnd = { off: after, enough }
  }
  return atStart?.enough === true && atEnd?.enough === true
}
