import { describe, expect, it } from 'vitest'
import type { PrecinctInput } from '../../../server/domain/forecast/input.ts'
import { countyForecast, hoursOf } from '../../../server/domain/turnout/county.ts'
import { aDayInput, aPrecinctInput, clock, counted } from '../../support/forecastInput.ts'

const many = (n: number, of: (i: number) => Partial<PrecinctInput>) =>
  Array.from({ length: n }, (_, i) => aPrecinctInput({ code: `M-${i}`, ...of(i) }))
const steady = (perHour: number) => ({
  counts: counted(...[8, 9, 10, 11, 12].map(h => [h, perHour * (h - 7)] as const)),
})
const sum = (list: readonly number[]) => list.reduce((a, b) => a + b, 0)
const noon = aDayInput(12)

describe('the county’s turnout', () => {
  it('is the plan’s before anybody came, as far off as policy says', () => {
    const said = countyForecast(
      aDayInput(6),
      many(50, () => ({ openedAt: null })),
    )
    expect(Math.abs(said.total / 65_000 - 1)).toBeLessThan(0.001)
    // One county’s 15 % and fifty precincts’ mean: ± 1.2816 · √(0.0225 + 0.0225/50) on the log scale.
    expect(Math.log(said.high80 / said.total)).toBeCloseTo(1.28155 * Math.sqrt(0.0225 * 1.02), 3)
    expect(said).toMatchObject({ came: 0, cameNow: 0, pace: null })
    expect(said.profile).toEqual(noon.profile)
    expect(said.factor).toMatchObject({ mean: 0, variance: 0.0225 })
  })

  it('follows counts, and says less than they do while the curve may be ahead', () => {
    const said = countyForecast(
      noon,
      many(50, () => steady(120)),
    )
    expect(said).toMatchObject({ came: 30_000, cameNow: 30_000, pace: 20 })
    expect(said.total).toBeGreaterThan(1.1 * 65_000)
    expect(said.total).toBeLessThan(1.2 * 65_000)
    expect(said.low80).toBeGreaterThan(65_000)
    const late = countyForecast(
      aDayInput(20),
      many(50, () => ({ counts: counted([20, 1_500]) })),
    )
    expect(late).toMatchObject({ total: 75_000, low95: 75_000, high95: 75_000 })
  })

  it('carries counts of different minutes on to now', () => {
    const said = countyForecast(
      aDayInput(12),
      many(50, i => ({ counts: counted([9 + (i % 3), 100 * (2 + (i % 3))]) })),
    )
    expect(said.pace).toBe(0)
    expect(said.came).toBeLessThan(16_000)
    // 50 precincts have 500 each at noon, by a plan that holds.
    expect(said.cameNow / 25_000).toBeCloseTo(1, 1)
  })

  it('knows more from all precincts than from half of them', () => {
    const all = countyForecast(
      noon,
      many(4, () => steady(100)),
    )
    const half = countyForecast(
      noon,
      many(4, i => (i % 2 ? steady(100) : {})),
    )
    const wide = (f: { low80: number; high80: number }) => f.high80 - f.low80
    expect(wide(half)).toBeGreaterThan(1.1 * wide(all))
    expect(half.factor.variance).toBeGreaterThan(all.factor.variance)
  })

  it('re-estimates an hour’s share from that hour’s voters, and the shares still sum to 1', () => {
    const doubled = { counts: counted([8, 200], [9, 300], [10, 400], [11, 500], [12, 600]) }
    const { profile } = countyForecast(
      noon,
      many(50, () => doubled),
    )
    const hours = hoursOf(profile)
    expect(sum(profile)).toBeCloseTo(1, 12)
    // 10,000 voters in the first hour beside 5,000 in each other: gamma’s prior of 25 counts for nothing.
    expect(hours[0]! / hours[1]!).toBeCloseTo(2, 1)
    const one = countyForecast(
      noon,
      many(1, () => ({ ...doubled, expected: 130, counts: counted([8, 20], [9, 30], [12, 60]) })),
    )
    const few = hoursOf(one.profile)
    // One precinct’s 20 beside a level of 12 a quarter of an hour … shrunk: (25 + 20)/(25 + 12) ÷ (25 + 10)/(25 + 12).
    expect(few[0]! / few[1]!).toBeCloseTo(45 / 35, 6)
    expect(few.slice(5).every(h => Math.abs(h - few[5]!) < 1e-12)).toBe(true)
  })

  it('has a late opening and a suspension move nobody away', () => {
    const late = { openedAt: clock(8), counts: counted([9, 120], [10, 240], [11, 360]) }
    const usual = { counts: counted([9, 200], [10, 300], [11, 400]) }
    const a = countyForecast(
      noon,
      many(20, () => late),
    )
    const b = countyForecast(
      noon,
      many(20, () => usual),
    )
    expect(a.came).toBeLessThan(b.came)
    expect(Math.abs(a.total / b.total - 1)).toBeLessThan(0.005)
  })

  it('keeps the total when closing is put off', () => {
    const precincts = many(20, () => steady(100))
    const a = countyForecast(aDayInput(12, { closesAt: clock(22) }), precincts)
    const b = countyForecast(noon, precincts)
    expect(a.total).toBe(b.total)
  })

  it('takes a vote center’s plan for less certain', () => {
    const wide = (everyone: boolean) => {
      const { low80, high80 } = countyForecast(
        aDayInput(6),
        many(4, () => ({ everyone })),
      )
      return high80 - low80
    }
    expect(wide(true)).toBeGreaterThan(1.05 * wide(false))
  })

  it('is finite for a county of nobody and one without precincts', () => {
    for (const precincts of [[], many(2, () => ({ expected: 0, counts: counted([8, 5]) }))]) {
      const said = countyForecast(noon, precincts)
      expect(
        [said.total, said.low95, said.high95, said.cameNow].every(n => Number.isFinite(n) && n >= 0),
      ).toBe(true)
      expect(said.profile).toEqual(noon.profile)
    }
  })
})
