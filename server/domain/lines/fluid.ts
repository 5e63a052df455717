import { normalBelow } from '../numbers/normal.ts'
import { lineAfter } from './wait.ts'

/**
 * One stage of a line as a fluid, alone: as if the stages before it took no time. In a row of stages who comes waits
 * about as long as he would at the slowest of them alone (for fluids with rates that hold this is exact: a row of
 * servers takes what the least of their rates takes; J.-Y. Le Boudec, P. Thiran, "Network Calculus", 2001, chapter
 * 1), so that a line forecast is the worst of its stages', each reckoned alone.
 */
export type Stage = {
  /** Waiting at the start, in this stage or before it. */
  waiting: number
  /** By step: minutes, people expected to come in it, and people taken per minute. */
  minutes: readonly number[]
  come: readonly number[]
  rate: readonly number[]
}

/** People waiting at the start of each step and at the end of the last. */
export function fluidLine({ waiting, minutes, come, rate }: Stage): Float64Array {
  const line = new Float64Array(minutes.length + 1)
  line[0] = waiting
  for (let i = 0; i < minutes.length; i++) line[i + 1] = lineAfter(line[i]!, come[i]!, minutes[i]!, rate[i]!)
  return line
}

/** People whom a stage can take in so many minutes from the start of a step on; beyond the last step as in it. */
export function takenFrom(
  { minutes, rate }: Pick<Stage, 'minutes' | 'rate'>,
  step: number,
  within: number,
): number {
  let left = Math.max(0, within)
  let taken = 0
  for (let i = step; i < minutes.length && left > 0; i++) {
    const part = Math.min(left, minutes[i]!)
    taken += part * rate[i]!
    left -= part
  }
  return taken + left * (rate.at(-1) ?? 0)
}

/** Minutes until so many were taken, from the start of a step on; Infinity where that is never. */
export function waitFrom(
  { minutes, rate }: Pick<Stage, 'minutes' | 'rate'>,
  step: number,
  people: number,
): number {
  let left = people
  let wait = 0
  for (let i = step; i < minutes.length; i++) {
    const most = minutes[i]! * rate[i]!
    // Where nobody works who comes waits, be he the first.
    if (rate[i]! > 0 && left <= most) return wait + left / rate[i]!
    left -= most
    wait += minutes[i]!
  }
  const last = rate.at(-1) ?? 0
  return last > 0 ? wait + left / last : Number.POSITIVE_INFINITY
}

/**
 * Chance that who comes at the start of a step waits longer than `within` minutes, by the fluid with chance added:
 * the line is the most that came more than was taken since any step before, that difference taken to be normal
 * with the variance of two Poisson counts; of those steps the likeliest (the dominant time of a Gaussian queue:
 * M. Mandjes, "Large Deviations for Gaussian Queues", 2007, chapter 5). Rough where few people are meant.
 */
export function fluidWaitsLonger(stage: Stage, step: number, within: number): number {
  const taken = takenFrom(stage, step, within)
  if (taken <= 0 && (within > 0 || stage.rate[Math.min(step, stage.rate.length - 1)] === 0)) return 1
  let most = Number.NEGATIVE_INFINITY
  let more = 0
  let variance = taken
  for (let from = step; from >= 0; from--) {
    if (from < step) {
      const gone = stage.rate[from]! * stage.minutes[from]!
      more += stage.come[from]! - gone
      variance += stage.come[from]! + gone
    }
    const over = more + (from === 0 ? stage.waiting : 0) - taken
    if (variance > 0) most = Math.max(most, over / Math.sqrt(variance))
    else if (over > 0) return 1
  }
  return normalBelow(most)
}
