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
  /** In line by the last report, if it is no older than half an hour: they come before those still to come. */
  waiting: number
}

const LINE_OLD = 30 * MINUTE

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
  const line = input.lines.at(-1)
  const believed = line && day.at - line.at <= LINE_OLD && line.is <= mostInLine(input)
  const waiting = believed ? Math.max(0, line.is) : 0
  const share = (at: Instant) => shareBy(profile, day.midnight, at)
  const from = came ? Math.max(came.at, since) : since
  const guessed = Math.max(0, outlook.total * (share(day.at) - share(from)))
  if (!came || came.at <= since) return { known: 0, guessed, waiting }
  return { known: Math.max(0, came.is - countAt(input, came, since, share)), guessed, waiting }
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
