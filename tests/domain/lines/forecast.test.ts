import { describe, expect, it } from 'vitest'
import type { WhatIf } from '../../../server/domain/forecast/forecast.ts'
import type { DayInput, PrecinctInput } from '../../../server/domain/forecast/input.ts'
import { lineForecast } from '../../../server/domain/lines/forecast.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import { aDayInput, aPrecinctInput, clock, counted, stationsOf } from '../../support/forecastInput.ts'
import { aMember } from './aMember.ts'

/** A hundred voters an hour; a station takes forty. */
function forecastOf(
  hours: number,
  input: Partial<PrecinctInput>,
  whatIf?: WhatIf,
  day: Partial<DayInput> = {},
) {
  const at = aDayInput(hours, day)
  return lineForecast(at, [aMember(at, aPrecinctInput(input), 0.1)], at.profile, whatIf)!
}

describe('a line forecast', () => {
  it('has the wait now by Little’s law, and what was reported', () => {
    const { forecast } = forecastOf(10, { lines: counted([10, 60]) })
    expect(forecast).toMatchObject({ inLine: 60, waitNow: 30, said: { is: 60, at: clock(10) }, how: 'exact' })
    expect(forecast).toMatchObject({ bottleneck: 'check-in', serviceMinutes: 1.5, seenMinutes: 0 })
    expect(forecast.load).toBeCloseTo(100 / 120, 9)
  })

  it('sees a line that passes half an hour, and when', () => {
    // Two stations take 80 an hour of the hundred: 20 more an hour, a wait of 15 minutes more in it.
    const { forecast, points } = forecastOf(10, { stations: stationsOf(2), lines: counted([10, 25]) })
    expect(points.map(p => (p.at - clock(10)) / MINUTE)).toEqual([
      0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100, 110, 120,
    ])
    expect(points[0]!.mean).toBeCloseTo(25, 9)
    expect(points[0]).toMatchObject({ low: 25, high: 25 })
    expect(points[6]!.mean).toBeGreaterThan(44)
    expect(points[6]!.mean).toBeLessThan(47)
    expect(points[0]!.over).toBeLessThan(0.01)
    expect(points[12]!.over).toBeGreaterThan(0.7)
    expect(forecast.worst).toEqual({ at: clock(12), chance: points[12]!.over })
    expect(forecast.chance).toBeGreaterThan(0.4)
    expect(forecast.chance).toBeLessThan(points[12]!.over)
    // About 35 stand there for an hour.
    expect(forecast.voterMinutes).toBeGreaterThan(2_050)
    expect(forecast.voterMinutes).toBeLessThan(2_200)
  })

  it('leaves a light line to the fluid', () => {
    const { forecast, points } = forecastOf(10, { stations: stationsOf(5) })
    expect(forecast).toMatchObject({ how: 'far-from-long', worst: null, waitNow: 0 })
    expect(forecast.chance).toBeLessThan(1e-6)
    expect(points).toHaveLength(13)
  })

  it('answers what one more station would do, and one fewer', () => {
    const input = { stations: stationsOf(2), lines: counted([10, 40]) }
    const as = forecastOf(10, input).forecast
    const more = forecastOf(10, input, { stations: 1 }).forecast
    const fewer = forecastOf(10, input, { stations: -1 }).forecast
    for (const [told, wait] of [
      [more, 20],
      [as, 30],
      [fewer, 60],
    ] as const)
      expect(told.waitNow).toBeCloseTo(wait, 9)
    expect(more.chance).toBeLessThan(0.1)
    expect(as.chance).toBeGreaterThan(0.5)
    expect(fewer.chance).toBeGreaterThan(0.99)
    expect(more.voterMinutes).toBeLessThan(as.voterMinutes)
    expect(fewer.voterMinutes).toBeGreaterThan(as.voterMinutes)
    // Reckoned alike, though the line of three by itself is nothing to look into.
    expect(
      forecastOf(10, { stations: stationsOf(3), lines: counted([10, 0]) }, { stations: 9 }).forecast.how,
    ).toBe(forecastOf(10, { stations: stationsOf(3), lines: counted([10, 0]) }).forecast.how)
    expect(forecastOf(10, input, { stations: -9 }).forecast).toMatchObject({
      waitNow: 1_440,
      load: 99,
      how: 'blocked',
    })
  })

  it('is the tabulator’s where none works, until it is back', () => {
    const input = { tabulators: { all: 1, working: 0, asOf: clock(10) }, lines: counted([10, 0]) }
    const down = forecastOf(10, input)
    expect(down.forecast).toMatchObject({ bottleneck: 'tabulator', load: 99, waitNow: 1_440, how: 'blocked' })
    expect(down.forecast.chance).toBeCloseTo(1, 12)
    // A hundred an hour in front of it: half an hour on average for each of them.
    expect(down.forecast.voterMinutes).toBeCloseTo(3_000, 2)
    const back = forecastOf(10, input, { tabulatorBackAt: clock(10.25) })
    expect(back.forecast.waitNow).toBeCloseTo(15, 9)
    expect(back.forecast.chance).toBeLessThan(0.1)
    // Of 105 minutes at three a minute.
    expect(back.forecast.load).toBeLessThan(1)
    const late = forecastOf(10, input, { tabulatorBackAt: clock(11) })
    expect(late.forecast.chance).toBeGreaterThan(0.3)
    expect(late.points[0]!.over).toBeCloseTo(1, 12)
    expect(late.points.at(-1)!.over).toBeLessThan(0.1)
    expect(forecastOf(10, { ...input, unscanned: true }).forecast).toMatchObject({
      bottleneck: 'check-in',
      waitNow: 0,
    })
    expect(forecastOf(10, { tabulators: { all: 0, working: 0, asOf: null } }).forecast.bottleneck).toBe(
      'check-in',
    )
  })

  it('is the very same with a tabulator back that nobody waits for', () => {
    const back = { tabulatorBackAt: clock(10.2) }
    const lines = counted([10, 55])
    const down = { all: 1, working: 0, asOf: clock(10) }
    const none = { all: 0, working: 0, asOf: null }
    for (const input of [{ tabulators: down, unscanned: true }, { tabulators: none }, {}]) {
      const as = forecastOf(10, { lines, ...input })
      expect(as.forecast.voterMinutes).toBeGreaterThan(0)
      expect(forecastOf(10, { lines, ...input }, back)).toEqual(as)
    }
  })

  it('is by averages where it is too large for the exact form', () => {
    const { forecast } = forecastOf(10, { expected: 60_000, stations: stationsOf(90, 90) })
    expect(forecast.how).toBe('averages')
    expect(forecast.chance).toBeGreaterThan(0.5)
  })

  it('is the booths’ where they take fewer than come, whatever check-in does', () => {
    // Five booths, six minutes each: fifty an hour.
    const input = { booths: 5, lines: counted([10, 0]), openedAt: clock(10) }
    const few = forecastOf(10, { ...input, openedAt: clock(7), counts: counted([10, 300]) }).forecast
    expect(few.bottleneck).toBe('booths')
    expect(few.load).toBeCloseTo(2, 9)
    expect(few.waitNow).toBeCloseTo(3 * 60, 6)
    expect(few.chance).toBeGreaterThan(0.999)
    const more = forecastOf(10, input, { stations: 1 }).forecast
    expect(more.chance).toBeCloseTo(forecastOf(10, input).forecast.chance, 12)
  })

  it('holds everybody while voting is suspended', () => {
    const suspended = [{ from: clock(9.5), to: null }]
    const { forecast, points } = forecastOf(10, { suspended, lines: counted([10, 30]) })
    expect(forecast).toMatchObject({ waitNow: 1_440, load: 99, how: 'blocked', bottleneck: 'check-in' })
    expect(forecast.chance).toBeCloseTo(1, 12)
    expect(points.at(-1)!.mean).toBeCloseTo(230, 3)
    const announced = [{ from: clock(9.5), to: clock(10.5) }]
    const resumes = forecastOf(10, { suspended: announced, stations: stationsOf(5) })
    expect(resumes.forecast.waitNow).toBeGreaterThan(30)
    expect(resumes.points.at(-1)!.over).toBeLessThan(0.05)
  })

  it('counts waits from the legal opening, and takes late polls to open now', () => {
    const before = forecastOf(6.5, { openedAt: null })
    expect(before.forecast).toMatchObject({ inLine: 0, waitNow: 0 })
    expect(before.points.map(p => p.at)).toContain(clock(7))
    expect(before.forecast.chance).toBeLessThan(0.01)
    const late = forecastOf(7.5, { openedAt: null }).forecast
    expect(late.inLine).toBeCloseTo(50, 9)
    expect(late.waitNow).toBeCloseTo(25, 9)
  })

  it('has nobody after closing, and works off the line', () => {
    const { forecast, points } = forecastOf(19.5, { lines: counted([19.5, 100]) })
    const after = points.filter(p => p.at > clock(20))
    expect(points.map(p => p.at)).toContain(clock(20))
    expect(points.at(-1)!.at).toBeLessThan(clock(21.5))
    expect(points.at(-2)!.mean).toBeGreaterThanOrEqual(0.5)
    expect(points.at(-1)!.mean).toBeLessThan(0.5)
    expect(after.every(p => p.over === 0)).toBe(true)
    expect(forecast.load).toBeCloseTo(100 / 120, 9)
    const closing = forecastOf(20.25, { lines: counted([20.2, 40]) })
    expect(closing.forecast).toMatchObject({ chance: 0, worst: null, load: 0 })
    expect(closing.forecast.voterMinutes).toBeGreaterThan(100)
  })

  it('is nothing where nobody comes', () => {
    const { forecast } = forecastOf(10, { expected: 0 })
    expect(forecast).toMatchObject({ inLine: 0, chance: 0, worst: null, load: 0, voterMinutes: 0 })
  })

  it('is null where nobody votes within two hours', () => {
    expect(forecastOf(10, { closed: true })).toBeNull()
    expect(forecastOf(4.9, { openedAt: null })).toBeNull()
    expect(forecastOf(5, { openedAt: null })).toBeNull()
    expect(forecastOf(5.01, { openedAt: null }).forecast.how).toBe('far-from-long')
    expect(forecastOf(20, { openedAt: null })).toBeNull()
    expect(lineForecast(aDayInput(10), [], [])).toBeNull()
  })

  it('is null where all who vote are silent; one of several just stands in the others’ line', () => {
    const day = aDayInput(10)
    const member = (code: string, more: Partial<PrecinctInput> = {}) =>
      aMember(day, aPrecinctInput({ code, lines: counted([10, 70]), ...more }), 0.1)
    const of = (...members: Array<ReturnType<typeof member>>) => lineForecast(day, members, day.profile)
    expect(of(member('A', { silent: true }))).toBeNull()
    expect(of(member('A', { silent: true }), member('B', { silent: true }))).toBeNull()
    expect(of(member('A', { silent: true }), member('B', { closed: true }))).toBeNull()
    const two = of(member('A'), member('B', { silent: true }))
    expect(two!.forecast.load).toBeCloseTo(200 / 240, 9)
    expect(two).toEqual(of(member('A'), member('B')))
  })

  it('is one for precincts that share it', () => {
    const day = aDayInput(10)
    const two = [
      aMember(day, aPrecinctInput({ code: 'A', lines: counted([9.75, 50], [10, 70]) }), 0.1),
      aMember(day, aPrecinctInput({ code: 'B', lines: counted([9.9, 10]) }), 0.1),
    ]
    const both = lineForecast(day, two, day.profile)!.forecast
    // Two hundred an hour, six stations.
    expect(both).toMatchObject({ inLine: 70, waitNow: 17.5, said: { is: 70, at: clock(10) } })
    expect(both.load).toBeCloseTo(200 / 240, 9)
    const closed = [two[0]!, aMember(day, aPrecinctInput({ code: 'B', closed: true }), 0.1)]
    expect(lineForecast(day, closed, day.profile)!.forecast.waitNow).toBe(35)
    // Where only one's ballots are scanned, half of who comes is held up.
    const down = { all: 1, working: 0, asOf: day.at }
    const half = [
      aMember(day, aPrecinctInput({ tabulators: down, stations: stationsOf(6) }), 0.1),
      aMember(day, aPrecinctInput({ unscanned: true, stations: stationsOf(6) }), 0.1),
    ]
    expect(lineForecast(day, half, day.profile)!.forecast.chance).toBeCloseTo(0.5, 6)
  })

  it('reckons what is at risk to the policy’s horizon, beyond two hours too', () => {
    const of = (horizonMinutes: number) =>
      forecastOf(
        10,
        { stations: stationsOf(1), lines: counted([10, 60]) },
        {},
        {
          policy: { ...aDayInput(10).policy, horizonMinutes },
        },
      )
    // Sixty more an hour: 60, 120, 180, … in line.
    expect(of(0).forecast.voterMinutes).toBe(0)
    expect(of(60).forecast.voterMinutes / (90 * 60)).toBeCloseTo(1, 2)
    expect(of(120).forecast.voterMinutes / (120 * 120)).toBeCloseTo(1, 2)
    expect(of(240).forecast.voterMinutes / (180 * 240)).toBeCloseTo(1, 2)
    expect(of(240).points).toHaveLength(13)
  })
})
