import { describe, expect, it } from 'vitest'
import type { PrecinctInput } from '../../../server/domain/forecast/input.ts'
import { serviceSeen } from '../../../server/domain/lines/service.ts'
import { aDayInput, aPrecinctInput, counted } from '../../support/forecastInput.ts'
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

  it('is nothing where no station works', () => {
    const none = { planned: 3, working: 0, asOf: null }
    expect(
      seen({ counts: counted([8, 80], [9, 80]), lines: counted([8, 30], [9, 40]), stations: none }),
    ).toEqual({
      minutes: 1.5,
      seenMinutes: 0,
    })
  })
})
