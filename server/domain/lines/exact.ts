import type { ArrivalFactor } from './factors.ts'
import { takenFrom } from './fluid.ts'
import { allBusy, around, type Line, meanWaiting, onwards, quantileThere, waitsLonger } from './transient.ts'

/** What an outlook on a check-in line is worked out from. */
export type CheckIn = {
  /** By step: minutes, voters expected per minute, stations that work. */
  steps: ReadonlyArray<{ minutes: number; arriving: number; stations: number }>
  /** Voters a station takes per minute, > 0. */
  perStation: number
  /** What arrivals may be, and for each the people in line at the start, not counting those at a station, ≥ 0. */
  factors: ReadonlyArray<ArrivalFactor & { inLine: number }>
  /** Minutes of waiting that `over` asks about, for who comes at the start of each step and at the end of the last. */
  over: readonly number[]
}

/** The line at the start of each step and at the end of the last: one value more than there are steps. */
export type CheckInOutlook = {
  /** For each factor of arrivals: people in line on average, and the chance that who comes then waits longer. */
  byFactor: ReadonlyArray<{ mean: Float64Array; over: Float64Array }>
  /** Ends of the band that holds the line 80 times in a hundred, over all factors. */
  low: Float64Array
  high: Float64Array
}

/** The line as chances are worked out for at most so many people there … */
const MOST_ROOM = 1_500
/** … and for so many comings and goings in a step: more can't matter beside their mean, and would take seconds. */
const MOST_STEPS = 5_000

/** Whether the line is small enough for exactLine. */
export function isReckonable({ steps, perStation, factors }: CheckIn): boolean {
  const highest = factors.at(-1)!.factor
  for (const { minutes, arriving, stations } of steps)
    if (minutes * (arriving * highest + stations * perStation) > MOST_STEPS) return false
  return roomFor(steps, factors) <= MOST_ROOM
}

/** Chances below this are left out of a step: it moves a forecast by less than 1e-6, and saves a third of the time. */
const NEAR = 1e-8

/** By the exact transient distribution (transient.ts), for each factor that arrivals may have. */
export function exactLine({ steps, perStation, factors, over }: CheckIn): CheckInOutlook {
  const room = roomFor(steps, factors)
  const mixed: Line[] = over.map(() => new Float64Array(room + 1))
  const rates = { minutes: steps.map(s => s.minutes), rate: steps.map(s => s.stations * perStation) }
  const asked = over.map((within, i) => {
    const taken = takenFrom(rates, i, within)
    return { taken, stations: stationsThen(steps, i, within) }
  })
  const byFactor = factors.map(({ factor, weight, inLine }) => {
    const mean = new Float64Array(over.length)
    const chance = new Float64Array(over.length)
    let line = around(inLine + busyAtStart(inLine, steps[0]!, perStation, factor), room)
    for (let i = 0; i < over.length; i++) {
      if (i > 0) {
        const { minutes, arriving, stations } = steps[i - 1]!
        line = onwards(line, { minutes, arriving: arriving * factor, stations, perStation }, NEAR)
      }
      mean[i] = meanWaiting(line, stationsAt(steps, i))
      const { taken, stations } = asked[i]!
      chance[i] = taken > 0 ? waitsLonger(line, stations, taken) : allBusy(line, stations)
      const sum = mixed[i]!
      for (let n = 0; n <= room; n++) sum[n] = sum[n]! + weight * line[n]!
    }
    return { mean, over: chance }
  })
  const low = new Float64Array(over.length)
  const high = new Float64Array(over.length)
  for (let i = 0; i < over.length; i++) {
    low[i] = Math.max(0, quantileThere(mixed[i]!, 0.1) - stationsAt(steps, i))
    high[i] = Math.max(0, quantileThere(mixed[i]!, 0.9) - stationsAt(steps, i))
  }
  return { byFactor, low, high }
}

/** Stations at the end of the step before, which hold who is being served; at the start those of the first step. */
function stationsAt(steps: CheckIn['steps'], point: number): number {
  return steps[Math.max(0, point - 1)]!.stations
}

/** Stations that work so many minutes after the start of a step. */
function stationsThen(steps: CheckIn['steps'], step: number, within: number): number {
  let left = within
  for (let i = step; i < steps.length; i++) {
    left -= steps[i]!.minutes
    if (left < 0) return steps[i]!.stations
  }
  return steps.at(-1)!.stations
}

/** Who stands at the stations: everybody's, where people wait; else as many as the arrivals keep busy. */
function busyAtStart(
  inLine: number,
  step: CheckIn['steps'][number],
  perStation: number,
  factor: number,
): number {
  if (inLine > 0) return step.stations
  return Math.min(step.stations, (step.arriving * factor) / perStation)
}

/** Room for everybody who may stand there: all who may come, with what chance may add. */
function roomFor(steps: CheckIn['steps'], factors: CheckIn['factors']): number {
  let come = 0
  let stations = 0
  for (const step of steps) {
    come += step.arriving * step.minutes
    stations = Math.max(stations, step.stations)
  }
  const most = factors.map(({ factor, inLine }) => inLine + come * factor + 7 * Math.sqrt(come * factor))
  return Math.ceil(Math.max(...most) + stations + 20)
}
