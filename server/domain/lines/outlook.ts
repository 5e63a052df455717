import type { CheckInOutlook } from './exact.ts'
import type { ArrivalFactor } from './factors.ts'
import { fluidLine, fluidWaitsLonger } from './fluid.ts'
import type { Schedule } from './schedule.ts'
import type { Stages } from './stages.ts'
import { lineAfter } from './wait.ts'

/** A whole line's outlook, at the start of each step and at the end of the last. */
export type Outlook = {
  /** Chance that who comes then waits longer than asked, at any stage; 0 where nobody comes. Of the steps shown. */
  over: Float64Array
  /** That chance over all who are expected in the steps shown. */
  chance: number
  /** People in line for check-in on average; of the steps shown. */
  inLine: Float64Array
  /** People waiting on average, at all stages; of all steps. */
  waiting: Float64Array
}

/**
 * The check-in line and the stages behind it as one: for each factor that arrivals may have, the worst of the
 * stages, by its line and by its chance of a long wait; then the mean over the factors. What comes of one factor
 * comes to all stages, so their chances are not multiplied.
 *
 * @param stages for each factor, in the order of the check-in's
 * @param over minutes asked about, for each of the steps shown and the end of the last
 */
export function outlookOf(
  checkIn: CheckInOutlook,
  factors: readonly ArrivalFactor[],
  stages: readonly Stages[],
  { steps, shown, scanned }: Schedule,
  over: readonly number[],
): Outlook {
  const chances = new Float64Array(shown + 1)
  const inLine = new Float64Array(shown + 1)
  const waiting = new Float64Array(steps.length + 1)
  factors.forEach(({ weight }, k) => {
    const { 'check-in': first, booths, tabulator } = stages[k]!
    const [boothLine, tabulatorLine] = [fluidLine(booths), fluidLine(tabulator)]
    const line = checkIn.byFactor[k]!
    let mean = 0
    for (let i = 0; i <= steps.length; i++) {
      // Behind the steps shown the mean goes on as a fluid.
      if (i <= shown) mean = line.mean[i]!
      else mean = lineAfter(mean, first.come[i - 1]!, steps[i - 1]!.minutes, first.rate[i - 1]!)
      waiting[i] = waiting[i]! + weight * Math.max(mean, boothLine[i]!, scanned > 0 ? tabulatorLine[i]! : 0)
      if (i > shown || !somebodyComes(steps, i)) continue
      const here = Math.max(line.over[i]!, fluidWaitsLonger(booths, i, over[i]!))
      const there = scanned > 0 ? Math.max(here, fluidWaitsLonger(tabulator, i, over[i]!)) : here
      chances[i] = Math.min(1, chances[i]! + weight * (here + scanned * (there - here)))
    }
    for (let i = 0; i <= shown; i++) inLine[i] = inLine[i]! + weight * line.mean[i]!
  })
  return { over: chances, chance: meanChance(steps, shown, chances), inLine, waiting }
}

/** Whether anybody is expected just before or after the start of a step. */
function somebodyComes(steps: Schedule['steps'], i: number): boolean {
  return (steps[i]?.arriving ?? 0) > 0 || (steps[i - 1]?.arriving ?? 0) > 0
}

function meanChance(steps: Schedule['steps'], shown: number, over: Float64Array): number {
  let comes = 0
  let long = 0
  for (let i = 0; i < shown; i++) {
    const coming = steps[i]!.arriving * steps[i]!.minutes
    comes += coming
    long += (coming * (over[i]! + over[i + 1]!)) / 2
  }
  return comes > 0 ? Math.min(1, long / comes) : 0
}

/** Voter-minutes of waiting between two of its instants (minutes from the start): the area under the line. */
export function voterMinutesOf(
  waiting: Float64Array,
  steps: Schedule['steps'],
  from: number,
  to: number,
): number {
  let sum = 0
  let start = 0
  for (let i = 0; i < steps.length; i++) {
    const end = start + steps[i]!.minutes
    // Steps are cut at both instants; a hair covers what adding minutes loses.
    if (start >= from - 1e-6 && end <= to + 1e-6)
      sum += ((waiting[i]! + waiting[i + 1]!) / 2) * steps[i]!.minutes
    start = end
  }
  return sum
}
