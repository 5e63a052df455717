import type { TurnoutOutlook } from '../forecast/forecast.ts'
import type { DayInput, PrecinctInput } from '../forecast/input.ts'
import type { Instant } from '../time.ts'
import { HOUR } from '../time.ts'

/** A precinct that stands in a line: usually the only one. */
export type LineMember = { input: PrecinctInput; outlook: TurnoutOutlook }

/** Since when voting goes on, or will: from the legal hour, and where that has passed from now on. */
export function votesFrom(day: DayInput, input: PrecinctInput): Instant {
  if (input.openedAt !== null) return input.openedAt
  if (input.counts.some(count => count.is > 0)) return day.opensAt
  return Math.max(day.at, day.opensAt)
}

/** Whether people can vote at an instant from now on. */
export function isOpenAt(day: DayInput, input: PrecinctInput, at: Instant): boolean {
  if (input.closed || at < votesFrom(day, input)) return false
  return !input.suspended.some(({ from, to }) => at >= from && (to === null || at < to))
}

/** The next two hours are this part of an hour's own error: the mean of two. */
const OF_TWO_HOURS = 1 / 2

/**
 * Spread of what comes to all in the next two hours, on the log scale. What isn't known of one precinct (the
 * county's turnout, the hour) is mostly not known of the others, so that they err together: the mean, weighted by
 * who comes. To the spread of all who still come, until closing, is added what these two hours may differ from
 * their share of that: policy's for one hour, by itself, averaged over two, less what the hours to closing hold.
 */
export function logSdOf(day: DayInput, members: readonly LineMember[]): number {
  let weighed = 0
  let sum = 0
  for (const { input, outlook } of members) {
    if (input.closed) continue
    const coming = outlook.coming.reduce((a, b) => a + Math.max(0, b), 0)
    weighed += coming * outlook.logSd
    sum += coming
  }
  if (sum <= 0) return 0
  const hours = (day.closesAt - Math.max(day.at, day.opensAt)) / HOUR
  const ofHours = day.policy.unknown.profile ** 2 * Math.max(0, OF_TWO_HOURS - 1 / Math.max(1, hours))
  return Math.sqrt((weighed / sum) ** 2 + ofHours)
}

/** The line reported last, by any of them; of reports of one instant the first one's. */
export function lastSaid(members: readonly LineMember[], at: Instant): { is: number; at: Instant } | null {
  let last: { is: number; at: Instant } | null = null
  for (const { input } of members)
    for (const line of input.lines) if (line.at <= at && (last === null || line.at > last.at)) last = line
  return last
}
