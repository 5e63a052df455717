import type { DayInput, PrecinctInput } from '../forecast/input.ts'
import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'
import { arrivals } from './expected.ts'
import { closedStretches, heldUp, overlap } from './hours.ts'
import { type CountFault, soundCounts, stuckCount } from './sound.ts'

/** A sound count, and how many had come by then: those checked in and those in line. */
export type Arrived = { at: Instant; checkedIn: number; arrived: number }

/** A station takes a voter at its fastest in this part of the usual time: an assumption, wide on purpose. */
const FASTEST = 1 / 3
/** A line reported within this of a count stands for the line at the count. */
const NEAR = 20 * MINUTE

/** A line of more people than this is a slip of the finger: a quarter of the day's voters, and never so few as forty. */
export function mostInLine(input: PrecinctInput): number {
  return Math.max(40, input.expected / 4)
}

/** Everybody who had come, at each count that can be true, in order of time; and the counts that can't be. */
export function arrivedBy(
  day: DayInput,
  input: PrecinctInput,
  profile: readonly number[],
): { arrived: Arrived[]; faults: CountFault[] } {
  const stations = Math.max(1, input.stations.planned, input.stations.working)
  const opened = Math.min(day.opensAt, input.openedAt ?? day.opensAt)
  const { sound, faults } = soundCounts(
    input.counts,
    stations / (day.policy.checkInMinutes * FASTEST),
    opened,
  )
  const stuck = stuckCount(sound, (from, to) => awaitedBetween(day, input, profile, from, to))
  // Of a count that is stuck, the first is the last that says something.
  const told = stuck ? sound.slice(0, sound.findIndex(count => count.is === stuck.is) + 1) : sound
  const arrived: Arrived[] = []
  let before = 0
  for (const { at, is } of told) {
    before = Math.max(before, is + lineAt(day, input, profile, at))
    arrived.push({ at, checkedIn: is, arrived: before })
  }
  return { arrived, faults: stuck ? [...faults, stuck] : faults }
}

/** Expected between two instants, by the part of that time in which the polls were open. */
function awaitedBetween(
  day: DayInput,
  input: PrecinctInput,
  profile: readonly number[],
  from: Instant,
  to: Instant,
): number {
  const whole = arrivals({ profile, midnight: day.midnight }, input.expected, from, to)
  const closed = overlap(closedStretches(day, input, to), from, to)
  return to > from ? whole * (1 - closed / (to - from)) : 0
}

/** People in line at an instant: as reported near it; else those whom closed polls held up. */
function lineAt(day: DayInput, input: PrecinctInput, profile: readonly number[], at: Instant): number {
  let near: { at: Instant; is: number } | null = null
  for (const line of input.lines)
    if (Math.abs(line.at - at) <= NEAR && (!near || Math.abs(line.at - at) < Math.abs(near.at - at)))
      near = line
  if (near && near.is <= mostInLine(input)) return Math.max(0, near.is)
  return heldUp(day, input, profile, at)
}
