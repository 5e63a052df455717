import type { PrecinctInput } from '../forecast/input.ts'
import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'
import { overlap, type Stretch } from '../turnout/hours.ts'

/** Check-in stations of a precinct in the past: by what was said last before an instant; before the first, those planned. */

/** Those that worked at an instant. */
export function stationsAt({ stations }: PrecinctInput, at: Instant): number {
  let working = stations.planned
  for (const said of stations.history) {
    if (said.at > at) break
    working = said.is
  }
  return working
}

/** Station-minutes in a stretch of the past, without the stretches in which nobody could vote. */
export function stationMinutes(
  { stations }: PrecinctInput,
  closed: readonly Stretch[],
  from: Instant,
  to: Instant,
): number {
  let sum = 0
  let start = from
  let working = stations.planned
  const add = (end: Instant) => {
    if (end <= start) return
    sum += ((end - start - overlap(closed, start, end)) / MINUTE) * working
    start = end
  }
  for (const said of stations.history) {
    if (said.at >= to) break
    add(said.at)
    working = said.is
  }
  add(to)
  return sum
}
