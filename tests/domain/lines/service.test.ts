import { describe, expect, it } from 'vitest'
import type { PrecinctInput } from '../../../server/domain/forecast/input.ts'
import { serviceSeen } from '../../../server/domain/lines/service.ts'
import { aDayInput, aPrecinctInput, clock, counted, stationsOf } from '../../support/forecastInput.ts'
import { aMember } from './aMember.ts'

const day = aDayInput(12)
const seen = (...inputs: Array<Partial<PrecinctInput>>) =>
  serviceSeen(
    day,
    inputs.map(input => aMember(day, aPrecinctInput(input))),
    day.profile,
  )

describe('how long a station takes', () => {
  it('is as planned until people were waiting between two counts', () => {
    expect(seen({})).toEqual({ minutes: 1.5, seenMinutes: 0 })
    expect(seen({ counts: counted([8, 90], [9, 180]) })).toEqual({ minutes: 1.5, seenMinutes: 0 })
    const quiet = { counts: counted([8, 90], [9, 180]), lines: counted([8, 30], [9, 2]) }
    expect(seen(quiet)).toEqual({ minutes: 1.5, seenMinutes: 0 })
    expect(seen({ ...quiet, lines: counted([8, 30]) })).toEqual({ minutes: 1.5, seenMinutes: 0 })
  })

  it('is seen between counts with a line at both, the plan worth twenty voters', () => {
    // Three stations for an hour took 90: 180 station-minutes; (180 + 20 × 1.5) ÷ (90 + 20).
    const busy = { counts: counted([8, 80], [9, 170]), lines: counted([7.9, 30], [9.2, 40]) }
    expect(seen(busy)).toEqual({ minutes: 210 / 110, seenMinutes: 180 })
    expect(seen({ ...busy, lines: counted([7.9, 30], [8.5, 2], [9.2, 40]) }).seenMinutes).toBe(0)
    expect(seen({ ...busy, lines: counted([7.7, 30], [9.2, 40]) }).seenMinutes).toBe(0)
  })

  it('leaves out when nobody could vote, and counts that can’t be true', () => {
    const busy = { counts: counted([8, 80], [9, 150]), lines: counted([8, 30], [9, 40]) }
    const suspended = [{ from: day.at - 3.5 * 3_600_000, to: day.at - 3.25 * 3_600_000 }]
    expect(seen({ ...busy, suspended }).seenMinutes).toBe(3 * 45)
    const slip = { ...busy, counts: counted([8, 80], [8.5, 8_000], [9, 150]) }
    expect(seen(slip)).toEqual(seen(busy))
  })

  it('takes the reports of all who stand in the line', () => {
    // Six stations together; who counts says nothing of the line.
    const a = { counts: counted([8, 80], [9, 170]) }
    const b = { counts: counted([8, 70], [9, 130]), lines: counted([8, 30], [9, 25]) }
    expect(seen(a, b)).toEqual({ minutes: (360 + 30) / (150 + 20), seenMinutes: 360 })
    expect(seen(a, { ...b, lines: counted([8, 30], [9, 5]) }).seenMinutes).toBe(0)
  })

  it('goes by the stations that worked then, not by those that work now', () => {
    // Three of four until 9:50: an hour took 90 with 180 station-minutes, whatever was opened since.
    const busy = { counts: counted([8, 80], [9, 170]), lines: counted([8, 30], [9, 40]) }
    const three = [{ at: clock(7), is: 3 }]
    const four = {
      planned: 4,
      working: 4,
      asOf: clock(9.83),
      history: [...three, { at: clock(9.83), is: 4 }],
    }
    const morning = seen({ ...busy, stations: { planned: 4, working: 3, asOf: clock(7), history: three } })
    expect(morning).toEqual({ minutes: 210 / 110, seenMinutes: 180 })
    expect(seen({ ...busy, stations: four })).toEqual(morning)
    // Nothing said before 8:30: the four planned for half an hour, three for the next.
    const late = { ...four, history: [{ at: clock(8.5), is: 3 }] }
    expect(seen({ ...busy, stations: late }).seenMinutes).toBeCloseTo(120 + 90, 9)
  })

  it('asks for one in line for each station that worked then', () => {
    const short = { counts: counted([8, 80], [9, 170]), lines: counted([8, 3], [9, 4]) }
    const stations = { planned: 4, working: 4, asOf: clock(8.8), history: [{ at: clock(7), is: 3 }] }
    expect(seen({ ...short, stations }).seenMinutes).toBe(180)
    const more = { ...stations, history: [...stations.history, { at: clock(8.8), is: 5 }] }
    expect(seen({ ...short, stations: more }).seenMinutes).toBe(0)
  })

  it('is nothing where no station works', () => {
    expect(
      seen({ counts: counted([8, 80], [9, 80]), lines: counted([8, 30], [9, 40]), stations: stationsOf(0) }),
    ).toEqual({
      minutes: 1.5,
      seenMinutes: 0,
    })
  })
})
