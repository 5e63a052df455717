import type { ReadyForecast } from '../forecast/forecast.ts'
import type { DayInput, PrecinctInput } from '../forecast/input.ts'
import { MINUTE } from '../time.ts'
import { arrivals } from '../turnout/expected.ts'
import { CELL } from './grid.ts'
import { countyPace, type Pace, precinctPace } from './pace.ts'
import { paceSaidBy, readyForecast } from './ready.ts'

/** How fast people open today, from the steps done and under way in precincts that haven't begun to vote (log scale). */
export function openingPaceOf(day: DayInput, precincts: readonly PrecinctInput[]): Pace {
  const said = []
  for (const { opening } of precincts)
    if (opening) said.push(paceSaidBy(day.networks[opening.network]!, day.reportAt, opening.done, day.at))
  return countyPace(said)
}

/**
 * When a precinct will be ready, at the county's pace and its own; null where its polls are or were open, or nothing
 * was heard of it.
 */
export function readyOutlook(
  day: DayInput,
  county: { openingPace: Pace },
  input: PrecinctInput,
): ReadyForecast | null {
  if (!input.opening) return null
  const { network, done } = input.opening
  const steps = day.networks[network]!
  const pace = precinctPace(county.openingPace, paceSaidBy(steps, day.reportAt, done, day.at))
  const { ready, from, rest } = readyForecast(steps, day.reportAt, day.opensAt, done, day.at, pace)
  let latePeople = 0
  let lateVoterMinutes = 0
  for (let i = 0; i < rest.length; i++) {
    const at = from + i * CELL * MINUTE
    if (rest[i] === 0 || at <= day.opensAt) continue
    // Nobody can vote before: each of these waits half of that time on average, as if they came evenly.
    const people = rest[i]! * arrivals(day, input.expected, day.opensAt, at)
    latePeople += people
    lateVoterMinutes += (people * (at - day.opensAt)) / MINUTE / 2
  }
  return { ...ready, latePeople, lateVoterMinutes }
}
