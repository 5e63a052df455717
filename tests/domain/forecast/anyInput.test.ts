import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { dayForecasts, precinctOutlook } from '../../../server/domain/forecast/day.ts'
import type { Forecasts } from '../../../server/domain/forecast/forecast.ts'
import { gatherDay } from '../../../server/domain/forecast/gather.ts'
import type { PrecinctInput } from '../../../server/domain/forecast/input.ts'
import { indexOf } from '../../../server/domain/plan/brief.ts'
import { HOUR, MINUTE } from '../../../server/domain/time.ts'
import { aPlan, DAY } from '../../support/aPlan.ts'
import { aPrecinctInput } from '../../support/forecastInput.ts'

/** Whatever was reported, in whatever order and however wrong: no forecast is ever not a number, or out of its range. */

const index = indexOf(aPlan(), DAY)
const { reportAt, opensAt, closesAt } = index.brief
const instant = fc.integer({ min: reportAt - HOUR, max: closesAt + 3 * HOUR })
const inOrder = <T extends { at: number }>(list: T[]) => list.sort((a, b) => a.at - b.at)
const figures = (most: number) =>
  fc.array(fc.record({ at: instant, is: fc.integer({ min: 0, max: most }) }), { maxLength: 14 }).map(inOrder)

const anyInput = (code: string): fc.Arbitrary<PrecinctInput> =>
  fc.record({
    code: fc.constant(code),
    expected: fc.oneof(fc.constant(0), fc.integer({ min: 1, max: 9_000 })),
    everyone: fc.boolean(),
    opening: fc.option(
      fc.record({
        network: fc.constant(0),
        done: fc.dictionary(fc.constantFrom(...index.opening.map(s => s.code)), instant),
      }),
    ),
    openedAt: fc.option(instant),
    closed: fc.boolean(),
    suspended: fc
      .array(fc.record({ from: instant, to: fc.option(instant) }), { maxLength: 3 })
      .map(list => list.map(s => ({ from: s.from, to: s.to === null ? null : Math.max(s.from, s.to) }))),
    counts: figures(12_000),
    lines: figures(3_000),
    lineOf: fc.constant(null),
    stations: fc.record({
      planned: fc.integer({ min: 1, max: 60 }),
      working: fc.integer({ min: 0, max: 60 }),
      asOf: fc.option(instant),
      history: figures(60),
    }),
    silent: fc.boolean(),
    booths: fc.integer({ min: 1, max: 400 }),
    tabulators: fc
      .record({
        all: fc.integer({ min: 0, max: 4 }),
        down: fc.integer({ min: 0, max: 4 }),
        asOf: fc.option(instant),
      })
      .map(({ all, down, asOf }) => ({ all, working: Math.max(0, all - down), asOf })),
    unscanned: fc.boolean(),
    sheets: fc.integer({ min: 1, max: 4 }),
    ballots: fc.option(fc.record({ left: fc.integer({ min: 0, max: 20_000 }), at: instant })),
    styles: fc.array(
      fc.record({
        style: fc.constantFrom('s1', 's2'),
        name: fc.constant('Style'),
        share: fc.double({ min: 0, max: 1, noNaN: true }),
        ballots: fc.integer({ min: 0, max: 5_000 }),
      }),
      { maxLength: 2 },
    ),
    tripMinutes: fc.option(fc.double({ min: 0, max: 600, noNaN: true })),
  })

/** Every number of a value with its path. */
function* numbersIn(value: unknown, path = ''): Generator<[string, number]> {
  if (typeof value === 'number') yield [path, value]
  else if (value instanceof Map) for (const [key, item] of value) yield* numbersIn(item, `${path}.${key}`)
  else if (typeof value === 'object' && value !== null)
    for (const [key, item] of Object.entries(value)) yield* numbersIn(item, `${path}.${key}`)
}

function sound(made: Forecasts | object) {
  for (const [path, is] of numbersIn(made)) {
    expect(Number.isFinite(is), `${path} is ${is}`).toBe(true)
    const name = path.slice(path.lastIndexOf('.') + 1)
    if (/^(chance|over)$/.test(name)) {
      expect(is, path).toBeGreaterThanOrEqual(0)
      expect(is, path).toBeLessThanOrEqual(1)
    }
    // Only these may be below nought: percents, logarithms and how curve and factor go together.
    if (!/^(pace|mean|curveCovariance)$/.test(name)) expect(is, path).toBeGreaterThanOrEqual(0)
  }
}

describe('forecasts of anything', () => {
  it('are numbers within their ranges, and their intervals lie in one another', () => {
    fc.assert(
      fc.property(anyInput('E-01'), anyInput('E-02'), instant, (a, b, at) => {
        const day = gatherDay(index, at)
        const made = dayForecasts(day, 1, [a, b])
        sound(made)
        for (const turnout of [made.county, ...[...made.precincts.values()].map(p => p.turnout)]) {
          if (!turnout) continue
          const { low95, low80, total, high80, high95 } = turnout
          expect([low95, low80, total, high80, high95]).toEqual(
            [low95, low80, total, high80, high95].sort((x, y) => x - y),
          )
        }
        for (const { ready } of made.precincts.values())
          if (ready)
            expect([ready.by10, ready.by50, ready.by90]).toEqual([ready.by10, ready.by50, ready.by90].sort())
      }),
      { numRuns: 250, seed: 41 },
    )
  })

  it('also where precincts share a line, and whatever is asked of it', () => {
    const change = fc.record(
      { stations: fc.constantFrom(-1, 1, -60), tabulatorBackAt: instant },
      { requiredKeys: [] },
    )
    fc.assert(
      fc.property(anyInput('E-01'), anyInput('E-02'), instant, change, (a, b, at, whatIf) => {
        const day = gatherDay(index, at)
        const line = [
          { ...a, lineOf: 'E-01' },
          { ...b, lineOf: 'E-01' },
        ]
        const { county } = dayForecasts(day, 1, line)
        sound(precinctOutlook(day, county, line[0]!, line, whatIf))
        expect(precinctOutlook(day, county, line[1]!, line).forecast.line).toBeNull()
      }),
      { numRuns: 120, seed: 42 },
    )
  })
})

it('a day that is as planned is forecast as planned', () => {
  const { precinct } = index.precincts.get('E-01')!
  const plain = aPrecinctInput({ code: 'E-01', expected: precinct.expected, openedAt: null })
  const { turnout } = dayForecasts(gatherDay(index, opensAt - 30 * MINUTE), 1, [plain]).precincts.get('E-01')!
  expect(Math.abs(turnout!.total / precinct.expected - 1)).toBeLessThan(0.05)
})
