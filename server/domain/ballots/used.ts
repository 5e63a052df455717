import type { TurnoutOutlook } from '../forecast/forecast.ts'
import type { DayInput, PrecinctInput } from '../forecast/input.ts'
import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'
import { mostInLine } from '../turnout/arrived.ts'
import { shareBy } from '../turnout/profile.ts'

/** Voters who needed a ballot since an instant, none rounded. */
export type Voted = {
  /** By the counts of voters. */
  known: number
  /** Since the last count of voters (or the instant, where that is later): by the forecast. */
  guessed: number
  /** In line when those of `guessed` began to come: not checked in yet, and before them. */
  waiting: number
}

/** A line reported further than this from an instant says nothing of the line then. */
const LINE_FAR = 30 * MINUTE

/**
 * @param profile the county's arrival profile, by which the turnout is forecast, too
 * @param since minus infinity: since the polls opened
 */
export function votedBetween(
  day: DayInput,
  input: PrecinctInput,
  outlook: TurnoutOutlook,
  profile: readonly number[],
  since: Instant,
): Voted {
  const { came } = outlook
  const share = (at: Instant) => shareBy(profile, day.midnight, at)
  const from = came ? Math.max(came.at, since) : since
  const comeBy = (at: Instant) => Math.max(0, outlook.total * (share(at) - share(from)))
  const guessed = comeBy(day.at)
  const waiting = lineAt(input, from, comeBy)
  if (!came || came.at <= since) return { known: 0, guessed, waiting }
  return { known: Math.max(0, came.is - countAt(input, came, since, share)), guessed, waiting }
}

/**
 * People in line at an instant, by the last report at or before it. Of one after it those who came between are taken
 * off, since they are counted as arrivals; how many were served between isn't known, so it is the least that can be.
 * @param comeBy voters who came from that instant to a later one; 0 to an earlier one
 */
function lineAt(input: PrecinctInput, at: Instant, comeBy: (to: Instant) => number): number {
  let waiting = 0
  for (const line of input.lines) {
    if (Math.abs(line.at - at) > LINE_FAR || line.is > mostInLine(input)) continue
    const least = Math.max(0, line.is - comeBy(line.at))
    if (line.at <= at || least > waiting) waiting = least
  }
  return waiting
}

/** Voters checked in at an instant before the last sound count: between the counts around it, by the profile. */
function countAt(
  input: PrecinctInput,
  last: { at: Instant; is: number },
  at: Instant,
  share: (at: Instant) => number,
): number {
  let before = { at: Number.NEGATIVE_INFINITY, is: 0 }
  let next = last
  for (const count of input.counts) {
    if (count.is > last.is || count.is < before.is || count.at > last.at) continue
    if (count.at <= at) before = count
    else {
      next = count
      break
    }
  }
  const whole = share(next.at) - share(before.at)
  const part = whole > 0 ? (share(at) - share(before.at)) / whole : 1
  return before.is + (next.is - before.is) * part
}
