import type { DayInput, PrecinctInput } from '../forecast/input.ts'
import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'
import { HOUR_QUARTERS, QUARTER, shareBy } from './profile.ts'

/** What the hours do to the curve: a late opening, a suspension and extended hours move it, never the voters. */

/** Each hour after the planned end brings half as many as the one before it: an assumption. */
const THINNING = 0.5

/**
 * The plan's profile for the hours that hold today. Where closing was put off, the voters of the planned last hour
 * are spread over it and the time after it, thinning from hour to hour; earlier hours and the sum stay.
 */
export function profileOfHours(day: DayInput): readonly number[] {
  const { profile } = day
  let end = profile.length
  while (end > 0 && profile[end - 1] === 0) end--
  const last = Math.min(profile.length, Math.ceil((day.closesAt - day.midnight) / QUARTER))
  if (end === 0 || last <= end) return profile
  const from = Math.max(0, end - HOUR_QUARTERS)
  let voters = 0
  for (let q = from; q < end; q++) voters += profile[q]!
  const weights: number[] = []
  for (let q = from; q < last; q++)
    weights.push(
      q < end ? profile[q]! : (voters / (end - from)) * THINNING ** Math.ceil((q + 1 - end) / HOUR_QUARTERS),
    )
  const all = weights.reduce((a, b) => a + b, 0)
  return profile.map((w, q) => (q < from || q >= last ? w : (weights[q - from]! * voters) / all))
}

export type Stretch = { from: Instant; to: Instant }

/** When nobody could vote within the voting hours until `until`: before a late opening, and while suspended. */
export function closedStretches(day: DayInput, input: PrecinctInput, until: Instant): Stretch[] {
  const voted = input.counts.some(count => count.is > 0)
  const opened = input.openedAt ?? (voted ? day.opensAt : until)
  const closed: Stretch[] = []
  if (opened > day.opensAt) closed.push({ from: day.opensAt, to: Math.min(opened, until) })
  for (const { from, to } of input.suspended)
    closed.push({ from: Math.max(day.opensAt, from), to: Math.min(to ?? until, until) })
  return closed.filter(stretch => stretch.to > stretch.from)
}

/**
 * People who wait at an instant because nobody could vote before it, not rounded: a fluid that comes by the profile
 * and is taken by the stations as fast as planned while the polls are open, in steps of a quarter hour. 0 where
 * nothing was closed: the lines of a usual day are reported, not reckoned here.
 */
export function heldUp(day: DayInput, input: PrecinctInput, profile: readonly number[], at: Instant): number {
  const closed = closedStretches(day, input, at)
  if (closed.length === 0) return 0
  const perMinute = Math.max(1, input.stations.planned) / day.policy.checkInMinutes
  let waiting = 0
  for (let from = Math.min(...closed.map(s => s.from)); from < at; ) {
    const to = Math.min(at, day.midnight + (Math.floor((from - day.midnight) / QUARTER) + 1) * QUARTER)
    const came = shareBy(profile, day.midnight, to) - shareBy(profile, day.midnight, from)
    const open = to - from - overlap(closed, from, to)
    waiting = Math.max(0, waiting + input.expected * came - (open / MINUTE) * perMinute)
    from = to
  }
  return waiting
}

/** Milliseconds of a stretch in which nobody could vote. */
export function overlap(closed: readonly Stretch[], from: Instant, to: Instant): number {
  let sum = 0
  for (const stretch of closed) sum += Math.max(0, Math.min(to, stretch.to) - Math.max(from, stretch.from))
  return Math.min(sum, to - from)
}
