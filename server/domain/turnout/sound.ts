import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'

/** A running count of voters checked in, as somebody typed it. */
export type Count = { at: Instant; is: number }

/** A count that can't be true beside the others: `back` goes below what came before, `jump` above what could be. */
export type CountFault = { what: 'back' | 'jump' | 'stuck'; at: Instant; is: number; before: number }

/**
 * Which of a precinct's running counts can all be true together: the largest set in which none is lower than one
 * before it and none rises faster than the stations can take people; of two such sets the one with the later
 * counts, since they may be corrections. The rest are named, not used. A typing error of one count so costs one
 * count, whichever of the two it was.
 *
 * @param counts in order of time
 * @param mostPerMinute people that all stations could take in a minute at their fastest
 */
export function soundCounts(
  counts: readonly Count[],
  mostPerMinute: number,
  from: Instant,
): { sound: Count[]; faults: CountFault[] } {
  const best: number[] = []
  const previous: number[] = []
  let last = -1
  for (let i = 0; i < counts.length; i++) {
    best[i] = possible({ at: from, is: 0 }, counts[i]!, mostPerMinute) ? 1 : 0
    previous[i] = -1
    for (let j = 0; j < i; j++)
      if (best[j]! > 0 && best[j]! + 1 >= best[i]! && possible(counts[j]!, counts[i]!, mostPerMinute)) {
        best[i] = best[j]! + 1
        previous[i] = j
      }
    if (best[i]! > 0 && (last < 0 || best[i]! >= best[last]!)) last = i
  }
  const kept = new Set<number>()
  for (let i = last; i >= 0; i = previous[i]!) kept.add(i)
  const sound: Count[] = []
  const faults: CountFault[] = []
  for (let i = 0; i < counts.length; i++) {
    const count = counts[i]!
    const before = sound.at(-1)?.is ?? 0
    if (kept.has(i)) sound.push(count)
    else faults.push({ what: count.is < before ? 'back' : 'jump', at: count.at, is: count.is, before })
  }
  return { sound, faults }
}

/** Beyond what could be by this many: counts and clocks are read a moment apart. */
const LEEWAY = 10

function possible(a: Count, b: Count, mostPerMinute: number): boolean {
  if (b.is < a.is) return false
  return b.is - a.is <= LEEWAY + (Math.max(0, b.at - a.at) / MINUTE + 1) * mostPerMinute
}

/** Expected voters in a stretch in which the count didn't move, from which on it is called stuck: e^−12 by chance. */
const STUCK = 12

/**
 * The last count where it has not moved since an earlier one while so many were expected that no chance explains
 * it: two figures copied from each other, or nobody checking in.
 * @param expectedBetween voters expected to be checked in between two instants
 */
export function stuckCount(
  sound: readonly Count[],
  expectedBetween: (from: Instant, to: Instant) => number,
): CountFault | null {
  const last = sound.at(-1)
  if (!last) return null
  let first = last
  for (let i = sound.length - 2; i >= 0 && sound[i]!.is === last.is; i--) first = sound[i]!
  if (first === last || expectedBetween(first.at, last.at) < STUCK) return null
  return { what: 'stuck', at: last.at, is: last.is, before: first.is }
}
