import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { PrecinctInput } from '../../../server/domain/forecast/input.ts'
import { countyForecast } from '../../../server/domain/turnout/county.ts'
import { turnoutOutlook } from '../../../server/domain/turnout/outlook.ts'
import { aDayInput, aPrecinctInput, clock, counted } from '../../support/forecastInput.ts'

const hourly = (perHour: number) => [8, 9, 10, 11, 12].map(h => [h, perHour * (h - 7)] as const)
const usual = Array.from({ length: 20 }, (_, i) =>
  aPrecinctInput({ code: `C-${i}`, counts: counted(...hourly(100)) }),
)
const county = countyForecast(aDayInput(12), usual)
const said = (changes: Partial<PrecinctInput>, hours = 12) =>
  turnoutOutlook(aDayInput(hours), county, aPrecinctInput(changes))!
const sum = (list: readonly number[]) => list.reduce((a, b) => a + b, 0)

describe('a precinct’s turnout', () => {
  it('is not there where nobody votes any more', () => {
    expect(turnoutOutlook(aDayInput(12), county, aPrecinctInput({ closed: true }))).toBeNull()
  })

  it('is the county’s without a count, its own with counts', () => {
    const without = said({}).outlook
    expect(without.came).toBeNull()
    expect(without.pace).toBeNull()
    expect(Math.abs(without.total - 1_300 * Math.exp(county.factor.mean))).toBeLessThan(25)
    const more = said({ counts: counted(...hourly(130)) }).outlook
    expect(more).toMatchObject({ came: { is: 650, at: clock(12) }, pace: 30 })
    expect(more.total).toBeGreaterThan(1_500)
    expect(more.total).toBeLessThan(1_690)
    expect(more.high80 - more.low80).toBeLessThan(without.high80 - without.low80)
  })

  it('expects in the quarters to come what is to come', () => {
    const { outlook, toCome } = said({ counts: counted(...hourly(100)) })
    expect(outlook.coming).toHaveLength(32)
    expect(sum(outlook.coming)).toBeCloseTo(toCome.mean, 6)
    const between = said({ counts: counted(...hourly(100)) }, 12.1).outlook.coming
    expect(between).toHaveLength(32)
    expect(between[0]! / between[1]!).toBeCloseTo(0.6, 9)
    const longer = turnoutOutlook(aDayInput(19.5, { closesAt: clock(21) }), county, aPrecinctInput({}))!
    expect(longer.outlook.coming).toHaveLength(6)
    expect(said({}, 20).outlook.coming).toEqual([])
    expect(said({}, 6).outlook.coming.slice(0, 4)).toEqual([0, 0, 0, 0])
  })

  it('takes those in line for voters who came', () => {
    const counts = counted([10, 200])
    const alone = said({ counts }).outlook
    const lined = said({ counts, lines: [{ at: clock(10), is: 100 }] }).outlook
    const all = said({ counts: counted([10, 300]) }).outlook
    expect(lined.came).toEqual({ is: 200, at: clock(10) })
    expect(lined.total).toBe(all.total)
    expect(lined.total).toBeGreaterThan(alone.total + 100)
    // A line of more than a quarter of the day’s voters is a slip, one reported hours before is over.
    for (const line of [
      { at: clock(10), is: 400 },
      { at: clock(9), is: 100 },
    ])
      expect(said({ counts, lines: [line] }).outlook.total).toBe(alone.total)
  })

  it('takes a late opening for a line, not for voters who stay away', () => {
    const late = said({ openedAt: clock(8), counts: counted([9, 120], [10, 240]) }).outlook
    const inTime = said({ counts: counted([9, 200], [10, 300]) }).outlook
    expect(Math.abs(late.total / inTime.total - 1)).toBeLessThan(0.01)
    const blind = said({ counts: counted([9, 120], [10, 240]) }).outlook
    expect(blind.total).toBeLessThan(0.95 * late.total)
  })

  it('knows less of a vote center', () => {
    const wide = (everyone: boolean) => {
      const { low80, high80 } = said({ everyone, counts: counted([8, 90]) }).outlook
      return high80 - low80
    }
    expect(wide(true)).toBeGreaterThan(1.1 * wide(false))
  })
})

describe('a count that can’t be true', () => {
  const clean = said({ counts: counted(...hourly(100)) })

  it.each([
    ['goes back', counted([8, 100], [9, 200], [10, 30], [11, 400], [12, 500]), 'back'],
    ['jumps', counted([8, 100], [9, 2_000], [10, 300], [11, 400], [12, 500]), 'jump'],
    ['goes back at last', counted(...hourly(100), [12, 50]), 'back'],
    ['jumps at last', counted(...hourly(100), [12, 5_000]), 'jump'],
  ] as const)('%s: is named and changes next to nothing', (_, counts, what) => {
    const marked = said({ counts })
    expect(marked.faults.map(f => f.what)).toEqual([what])
    expect(Math.abs(marked.outlook.total / clean.outlook.total - 1)).toBeLessThan(0.01)
    expect(marked.outlook.came).toEqual(clean.outlook.came)
  })

  it('sticks: is named, and the forecast goes on from when it last moved', () => {
    const stuck = said({ counts: counted([8, 100], [9, 200], [10, 200], [11, 200], [12, 200]) })
    expect(stuck.faults).toEqual([{ what: 'stuck', at: clock(12), is: 200, before: 200 }])
    expect(stuck.outlook.came).toEqual({ is: 200, at: clock(9) })
    expect(Math.abs(stuck.outlook.total / clean.outlook.total - 1)).toBeLessThan(0.02)
  })

  it('stands still without a word while nobody can vote', () => {
    const closed = said({
      suspended: [{ from: clock(9), to: null }],
      counts: counted([8, 100], [9, 200], [10, 200], [12, 200]),
    })
    expect(closed.faults).toEqual([])
    expect(Math.abs(closed.outlook.total / clean.outlook.total - 1)).toBeLessThan(0.02)
  })

  it('never makes a forecast that isn’t whole, ordered and finite', () => {
    const number = fc.integer({ min: 0, max: 100_000 })
    const hour = fc.double({ min: 0, max: 29, noNaN: true })
    const input = fc.record({
      expected: fc.integer({ min: 0, max: 8_000 }),
      everyone: fc.boolean(),
      openedAt: fc.option(hour.map(clock)),
      suspended: fc.array(fc.record({ from: hour.map(clock), to: fc.option(hour.map(clock)) }), {
        maxLength: 3,
      }),
      counts: fc
        .array(fc.record({ at: hour.map(clock), is: number }), { maxLength: 12 })
        .map(list => list.sort((a, b) => a.at - b.at)),
      lines: fc.array(fc.record({ at: hour.map(clock), is: number }), { maxLength: 4 }),
    })
    fc.assert(
      fc.property(
        fc.array(input, { minLength: 1, maxLength: 4 }),
        hour,
        fc.boolean(),
        (list, hours, longer) => {
          const day = aDayInput(hours, { closesAt: clock(longer ? 22 : 20) })
          const precincts = list.map(changes => aPrecinctInput(changes))
          const county = countyForecast(day, precincts)
          expect(sum(county.profile)).toBeCloseTo(1, 9)
          expect(county.profile.every(w => w >= 0)).toBe(true)
          for (const forecast of [county, ...precincts.map(p => turnoutOutlook(day, county, p)!.outlook)]) {
            const { low95, low80, total, high80, high95 } = forecast
            const row = [0, low95, low80, total, high80, high95]
            expect(row.every(Number.isSafeInteger)).toBe(true)
            expect(row).toEqual([...row].sort((a, b) => a - b))
          }
          for (const p of precincts) {
            const { outlook, toCome } = turnoutOutlook(day, county, p)!
            expect(
              [outlook.logSd, toCome.mean, toCome.extraVariance, ...outlook.coming].every(
                n => n >= 0 && Number.isFinite(n),
              ),
            ).toBe(true)
          }
        },
      ),
      { numRuns: 150, seed: 6 },
    )
  })
})
