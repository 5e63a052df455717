import { describe, expect, it } from 'vitest'
import type { PrecinctInput } from '../../../server/domain/forecast/input.ts'
import { startOf } from '../../../server/domain/lines/start.ts'
import { aDayInput, aPrecinctInput, clock, counted, stationsOf } from '../../support/forecastInput.ts'
import { aMember } from './aMember.ts'

/** A hundred voters an hour; a station takes 30 an hour (two minutes each). */
const PER_STATION = 1 / 2
const one = stationsOf(1, 1)
const four = stationsOf(4, 4)

function startAt(hours: number, ...inputs: Array<Partial<PrecinctInput>>) {
  const day = aDayInput(hours)
  const members = inputs.map(input => aMember(day, aPrecinctInput(input)))
  return startOf(day, members, day.profile, PER_STATION)
}

describe('the line now', () => {
  it('is reckoned from opening where nothing was reported', () => {
    // 100 come an hour and 30 are taken.
    expect(startAt(9, { stations: one }).inLine).toBeCloseTo(140, 9)
    expect(startAt(9, { stations: four }).inLine).toBe(0)
    expect(startAt(6.5, { openedAt: null })).toEqual({ inLine: 0, forBooth: 0, forTabulator: 0 })
  })

  it('is what was reported, carried on', () => {
    expect(startAt(9, { stations: one, lines: counted([8.5, 10]) }).inLine).toBeCloseTo(10 + 35, 9)
    expect(startAt(9, { stations: one, lines: counted([8.5, 10], [9, 77]) }).inLine).toBe(77)
    expect(startAt(9, { lines: counted([8.5, 20]) }).inLine).toBeCloseTo(20 + 5, 9)
  })

  it('goes on from a report however old, rather than from opening', () => {
    expect(startAt(10, { stations: one, lines: counted([7.75, 0]) }).inLine).toBeCloseTo(2.25 * 70, 9)
  })

  it('was taken by the stations that worked then, before anything was said by those planned', () => {
    const history = [
      { at: clock(8), is: 1 },
      { at: clock(8.75), is: 4 },
    ]
    // Three planned until 8:00, then one for 45 minutes, then four for a quarter hour.
    const stations = { planned: 3, working: 4, asOf: clock(8.75), history }
    expect(startAt(9, { stations }).inLine).toBeCloseTo(10 + 0.75 * 70 - 5, 9)
    expect(startAt(9, { stations, suspended: [{ from: clock(8), to: clock(8.75) }] }).inLine).toBeCloseTo(
      10 + 75 - 5,
      9,
    )
  })

  it('counts more who came since, where more come than expected', () => {
    const day = aDayInput(9)
    const members = [aMember(day, aPrecinctInput({ stations: one, lines: counted([8.5, 10]) }))]
    expect(startOf(day, members, day.profile, PER_STATION, 1.5).inLine).toBeCloseTo(10 + 75 - 15, 9)
  })

  it('holds those who came before a late opening, and while voting was suspended', () => {
    expect(startAt(8.5, { openedAt: clock(8) }).inLine).toBeCloseTo(100 + 50 - 45, 9)
    expect(startAt(7.5, { openedAt: null }).inLine).toBeCloseTo(50, 9)
    const suspended = [{ from: clock(8), to: null }]
    expect(startAt(8.5, { suspended }).inLine).toBeCloseTo(10 + 50, 9)
    expect(startAt(10, { suspended: [{ from: clock(8), to: clock(9) }], stations: four }).inLine).toBeCloseTo(
      80,
      9,
    )
  })

  it('has those in front of booths and tabulators as the fluid has them', () => {
    // Two booths take 20 an hour of the hundred; four stations hold nobody up.
    const slow = startAt(9, { stations: four, booths: 2 })
    expect(slow.inLine).toBe(0)
    expect(slow.forBooth).toBeCloseTo(160, 9)
    expect(slow.forTabulator).toBe(0)
    // A ballot of six sheets takes two minutes: 30 an hour. Twenty an hour get there.
    expect(startAt(9, { stations: four, booths: 2, sheets: 6 }).forTabulator).toBe(0)
    expect(startAt(9, { stations: four, sheets: 6 }).forTabulator).toBeCloseTo(140, 9)
    expect(startAt(9, { stations: four, sheets: 6, unscanned: true }).forTabulator).toBe(0)
    // Until it was last heard all its tabulators worked.
    const down = { all: 1, working: 0, asOf: clock(8.5) }
    expect(startAt(9, { stations: four, tabulators: down }).forTabulator).toBeCloseTo(50, 9)
  })

  it('is one line of all who share it', () => {
    const a = { stations: one, lines: counted([8.5, 40]) }
    const b = { stations: one, lines: counted([8.75, 60]) }
    // 200 an hour before two stations: 140 more in an hour.
    expect(startAt(9, a, b).inLine).toBeCloseTo(60 + 35, 9)
    expect(startAt(9, a, { ...b, closed: true }).inLine).toBeCloseTo(60 + 17.5, 9)
  })
})
