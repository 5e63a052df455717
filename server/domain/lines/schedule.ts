import type { WhatIf } from '../forecast/forecast.ts'
import type { DayInput } from '../forecast/input.ts'
import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'
import { comingBetween } from '../turnout/coming.ts'
import { isOpenAt, type LineMember, votesFrom } from './members.ts'

/** What comes and what can be taken in one step of a forecast; nothing changes within it. */
type LineStep = {
  minutes: number
  /** Voters expected to come per minute, ≥ 0. */
  arriving: number
  /** Check-in stations that work, a whole number ≥ 0. */
  stations: number
  /** Voters whom booths and tabulators can take per minute, ≥ 0. */
  booths: number
  tabulators: number
}

export type Schedule = {
  steps: LineStep[]
  /** Steps of the first two hours; those after it reach to policy's horizon. */
  shown: number
  /** Minutes from now to the legal opening; 0 where it has passed. */
  opensIn: number
  /** Part of the voters (0–1) who need a tabulator here. */
  scanned: number
}

export const AHEAD = 120 * MINUTE
const STEP = 10 * MINUTE

/** The next two hours in steps of ten minutes, cut also where polls open, resume or close and a tabulator comes back. */
export function scheduleOf(day: DayInput, members: readonly LineMember[], asked: WhatIf = {}): Schedule {
  const whatIf = members.some(lacksTabulator) ? asked : { stations: asked.stations ?? 0 }
  const cuts = cutsOf(day, members, whatIf)
  const steps: LineStep[] = []
  let shown = 0
  let from = day.at
  for (const to of cuts) {
    const minutes = (to - from) / MINUTE
    let comes = 0
    for (const member of members)
      if (!member.input.closed) comes += comingBetween(member.outlook.coming, day, from, to)
    steps.push({ minutes, arriving: comes / minutes, ...capacities(day, members, from, whatIf) })
    if (to <= day.at + AHEAD) shown++
    from = to
  }
  return {
    steps,
    shown,
    opensIn: Math.max(0, (day.opensAt - day.at) / MINUTE),
    scanned: scannedPart(members),
  }
}

function cutsOf(day: DayInput, members: readonly LineMember[], whatIf: WhatIf): Instant[] {
  const end = day.at + Math.max(AHEAD, day.policy.horizonMinutes * MINUTE)
  const cuts = new Set<Instant>([end, day.opensAt, day.closesAt, day.at + day.policy.horizonMinutes * MINUTE])
  for (let at = day.at + STEP; at < end; at += STEP) cuts.add(at)
  if (whatIf.tabulatorBackAt !== undefined) cuts.add(whatIf.tabulatorBackAt)
  for (const { input } of members) {
    cuts.add(votesFrom(day, input))
    for (const { to } of input.suspended) if (to !== null) cuts.add(to)
  }
  return [...cuts].filter(at => at > day.at && at <= end).sort((a, b) => a - b)
}

type Capacities = Pick<LineStep, 'stations' | 'booths' | 'tabulators'>

/** What can be taken from an instant on, by the members that vote then. */
function capacities(day: DayInput, members: readonly LineMember[], at: Instant, whatIf: WhatIf): Capacities {
  const { markMinutes, tabulateSeconds } = day.policy
  const sum = { stations: 0, booths: 0, tabulators: 0 }
  let open = false
  let back = whatIf.tabulatorBackAt !== undefined && at >= whatIf.tabulatorBackAt ? 1 : 0
  for (const { input } of members) {
    if (!isOpenAt(day, input, at)) continue
    open = true
    sum.stations += input.stations.working
    sum.booths += input.booths / markMinutes
    if (!needsTabulator(input)) continue
    let { working } = input.tabulators
    if (back > 0 && working < input.tabulators.all) {
      working += 1
      back = 0
    }
    sum.tabulators += (working * 60) / (tabulateSeconds * input.sheets)
  }
  if (open) sum.stations = Math.max(0, Math.round(sum.stations + (whatIf.stations ?? 0)))
  return sum
}

/**
 * Whether one more tabulator would be of use. Elsewhere its return is left out wholly: even the cut at that instant
 * would move the figures by a hair, and who compares them would see a change where there is none.
 */
function lacksTabulator({ input }: LineMember): boolean {
  return !input.closed && needsTabulator(input) && input.tabulators.working < input.tabulators.all
}

/** Whether this precinct's voters need a tabulator: one stands there, and the emergency slot doesn't take the ballots. */
export function needsTabulator({ unscanned, tabulators }: LineMember['input']): boolean {
  return !unscanned && tabulators.all > 0
}

function scannedPart(members: readonly LineMember[]): number {
  let all = 0
  let scanned = 0
  for (const { input, outlook } of members) {
    // One more than come, so that the last who are still inside count for something, too.
    const coming = outlook.coming.reduce((a, b) => a + Math.max(0, b), 1)
    all += coming
    if (needsTabulator(input)) scanned += coming
  }
  return scanned / all
}
