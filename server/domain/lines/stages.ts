import type { Bottleneck } from '../forecast/forecast.ts'
import type { Stage } from './fluid.ts'
import type { Schedule } from './schedule.ts'
import type { LineStart } from './start.ts'

/** A load of more than this is as good as endless. */
const MOST_LOAD = 99

/** The three stages of a line, each as if it stood alone (fluid.ts), with arrivals multiplied by `factor`. */
export type Stages = Record<Bottleneck, Stage>

export function stagesOf(schedule: Schedule, start: LineStart, perStation: number, factor: number): Stages {
  const { steps, scanned } = schedule
  const minutes = steps.map(s => s.minutes)
  const come = steps.map(s => s.arriving * s.minutes * factor)
  const before = start.inLine + start.forBooth
  return {
    'check-in': { waiting: start.inLine, minutes, come, rate: steps.map(s => s.stations * perStation) },
    booths: { waiting: before, minutes, come, rate: steps.map(s => s.booths) },
    tabulator: {
      waiting: before * scanned + start.forTabulator,
      minutes,
      come: come.map(n => n * scanned),
      rate: steps.map(s => s.tabulators),
    },
  }
}

const IN_ORDER = ['check-in', 'booths', 'tabulator'] as const

/**
 * The stage with the highest load over the first `count` steps, of equal ones the earlier: what comes ÷ what it can
 * take, at most 99, which is also said where nothing can be taken and somebody comes or waits.
 */
export function bottleneckOf(stages: Stages, count: number): { bottleneck: Bottleneck; load: number } {
  let worst: { bottleneck: Bottleneck; load: number } = { bottleneck: 'check-in', load: -1 }
  for (const bottleneck of IN_ORDER) {
    const load = loadOf(stages[bottleneck], count)
    if (load > worst.load) worst = { bottleneck, load }
  }
  return worst
}

function loadOf({ waiting, minutes, come, rate }: Stage, count: number): number {
  let comes = 0
  let taken = 0
  for (let i = 0; i < count; i++) {
    comes += come[i]!
    taken += rate[i]! * minutes[i]!
  }
  if (taken > 0) return Math.min(MOST_LOAD, comes / taken)
  return comes > 0 || waiting > 0 ? MOST_LOAD : 0
}
