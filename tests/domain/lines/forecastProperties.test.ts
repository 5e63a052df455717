import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { PrecinctInput } from '../../../server/domain/forecast/input.ts'
import { lineForecast } from '../../../server/domain/lines/forecast.ts'
import { policy } from '../../../server/domain/plan/policy.ts'
import { aDayInput, aPrecinctInput, clock } from '../../support/forecastInput.ts'
import { aMember } from './aMember.ts'

const hour = fc.double({ min: 5, max: 21, noNaN: true })
const instant = hour.map(clock)
const span = fc
  .tuple(instant, fc.option(fc.integer({ min: 1, max: 5_000_000 })))
  .map(([from, long]) => ({ from, to: long === null ? null : from + long }))
const reports = (max: number) =>
  fc
    .array(fc.record({ at: instant, is: fc.integer({ min: 0, max }) }), { maxLength: 6 })
    .map(list => list.sort((a, b) => a.at - b.at))

const precinct: fc.Arbitrary<PrecinctInput> = fc
  .record({
    expected: fc.oneof(fc.integer({ min: 0, max: 3_000 }), fc.constantFrom(0, 200_000)),
    openedAt: fc.option(instant),
    closed: fc.boolean(),
    suspended: fc.array(span, { maxLength: 2 }),
    counts: reports(3_000),
    lines: reports(400),
    working: fc.integer({ min: 0, max: 12 }),
    history: reports(12),
    booths: fc.integer({ min: 1, max: 60 }),
    machines: fc.tuple(fc.integer({ min: 0, max: 3 }), fc.integer({ min: 0, max: 3 })),
    unscanned: fc.boolean(),
    sheets: fc.integer({ min: 1, max: 4 }),
  })
  .map(({ working, history, machines: [a, b], ...rest }) =>
    aPrecinctInput({
      ...rest,
      stations: { planned: 3, working, asOf: null, history },
      tabulators: { all: Math.max(a, b), working: Math.min(a, b), asOf: null },
    }),
  )

const settings = fc
  .record({
    checkInMinutes: fc.constantFrom(0.001, 0.5, 1.5, 30),
    markMinutes: fc.constantFrom(0.01, 6, 120),
    tabulateSeconds: fc.constantFrom(0.1, 20, 600),
    longLineMinutes: fc.constantFrom(0, 30, 1_440),
    horizonMinutes: fc.constantFrom(0, 60, 95, 1_440),
  })
  .map(changes => policy.parse(changes))

const logSd = fc.constantFrom(0, 0.1, 0.4, 5)

describe('any line forecast', () => {
  it('has chances within 0 and 1, waits and lines of at least 0, and no number that is none', () => {
    fc.assert(
      fc.property(
        hour,
        settings,
        fc.array(precinct, { minLength: 1, maxLength: 3 }),
        logSd,
        (hours, set, inputs, sd) => {
          const day = aDayInput(hours, { policy: set })
          const told = lineForecast(
            day,
            inputs.map(input => aMember(day, input, sd)),
            day.profile,
          )
          if (!told) return
          const { forecast, points } = told
          const numbers = [forecast.inLine, forecast.waitNow, forecast.load, forecast.voterMinutes]
          for (const n of [...numbers, forecast.serviceMinutes, forecast.seenMinutes]) {
            expect(Number.isFinite(n)).toBe(true)
            expect(n).toBeGreaterThanOrEqual(0)
          }
          expect(forecast.waitNow).toBeLessThanOrEqual(1_440)
          expect(forecast.load).toBeLessThanOrEqual(99)
          expect(forecast.serviceMinutes).toBeGreaterThan(0)
          for (const { mean, low, high, over } of [
            ...points,
            { mean: 0, low: 0, high: 0, over: forecast.chance },
          ]) {
            expect(over >= 0 && over <= 1 && mean >= 0 && low >= 0 && low <= high).toBe(true)
            expect(Number.isFinite(mean + high)).toBe(true)
          }
          expect(points[0]!.at).toBe(day.at)
          for (let i = 1; i < points.length; i++) expect(points[i]!.at).toBeGreaterThan(points[i - 1]!.at)
          const highest = Math.max(...points.map(p => p.over))
          expect(forecast.worst?.chance ?? 0).toBe(highest >= 0.01 ? highest : 0)
          expect(forecast.chance).toBeLessThanOrEqual(highest + 1e-12)
        },
      ),
      { seed: 5, numRuns: 300 },
    )
  })

  it('is no worse with one station more', () => {
    fc.assert(
      fc.property(hour, settings, precinct, logSd, (hours, set, input, sd) => {
        const day = aDayInput(hours, { policy: set })
        // What is dated after the forecast isn't known to it.
        const suspended = input.suspended.filter(({ from }) => from <= day.at)
        const members = [aMember(day, { ...input, suspended }, sd)]
        const as = lineForecast(day, members, day.profile)
        const more = lineForecast(day, members, day.profile, { stations: 1 })
        expect(more === null).toBe(as === null)
        if (!as || !more) return
        expect(more.forecast.chance).toBeLessThanOrEqual(as.forecast.chance + 1e-9)
        expect(more.forecast.waitNow).toBeLessThanOrEqual(as.forecast.waitNow)
        expect(more.forecast.voterMinutes).toBeLessThanOrEqual(as.forecast.voterMinutes * (1 + 1e-9) + 1e-9)
      }),
      { seed: 6, numRuns: 300 },
    )
  })

  it('is no better the later a tabulator is back', () => {
    fc.assert(
      fc.property(
        hour,
        precinct,
        instant,
        fc.integer({ min: 0, max: 3_600_000 }),
        (hours, input, back, later) => {
          const day = aDayInput(hours)
          const members = [aMember(day, input, 0.2)]
          const soon = lineForecast(day, members, day.profile, { tabulatorBackAt: back })?.forecast
          const late = lineForecast(day, members, day.profile, { tabulatorBackAt: back + later })?.forecast
          if (!soon || !late) return
          // What is cut at another instant is weighted a little differently.
          expect(soon.waitNow).toBeLessThanOrEqual(late.waitNow + 1e-6)
          expect(soon.load).toBeLessThanOrEqual(late.load + 1e-6)
        },
      ),
      { seed: 7, numRuns: 200 },
    )
  })
})
