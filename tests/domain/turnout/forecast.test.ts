import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  type Factor,
  shapeVariance,
  totalsOf,
  turnoutForecast,
} from '../../../server/domain/turnout/forecast.ts'

const prior: Factor = { mean: 0, variance: 0.0225, curveVariance: 0.04, curveCovariance: 0 }

describe('turnout from the plan and one count', () => {
  it('is the prior where there is no count', () => {
    const said = turnoutForecast({ planned: 1_000, prior, share: 0, came: null })
    // A lognormal count's mean and variance: exp(s²/2), and mean² · (exp(s²) − 1).
    expect(said.toCome.mean).toBeCloseTo(1_000 * Math.exp(0.0225 / 2), 9)
    expect(said.toCome.extraVariance).toBeCloseTo(said.toCome.mean ** 2 * (Math.exp(0.0225) - 1), 6)
    expect(said.factor).toEqual(prior)
  })

  it('weighs a count by its precision, worked out by hand', () => {
    // 600 of 1,000 at half the curve: ln 1.2 = 0.182322; gains 0.0225 and 0.02 of 0.0225 + 0.25·0.04 + 1/600.
    const said = turnoutForecast({ planned: 1_000, prior, share: 0.5, came: 600 })
    expect(said.factor.mean).toBeCloseTo(0.120066, 5)
    expect(said.curveMean).toBeCloseTo(0.106725, 5)
    expect(said.factor.variance).toBeCloseTo(0.0225 - 0.0225 ** 2 / 0.03416667, 8)
    expect(said.factor.curveVariance).toBeCloseTo(0.04 - 0.02 ** 2 / 0.03416667, 8)
    expect(said.factor.curveCovariance).toBeCloseTo((-0.0225 * 0.02) / 0.03416667, 8)
    const variance = 0.00768293 + 0.25 * 0.02829268 + 0.01317073
    expect(said.toComeVariance).toBeCloseTo(variance, 6)
    expect(said.toCome.mean).toBeCloseTo(500 * Math.exp(0.120066 - 0.5 * 0.106725 + variance / 2), 1)
  })

  it('ends with what came when the whole curve is over', () => {
    const { toCome } = turnoutForecast({ planned: 1_000, prior, share: 1, came: 1_234 })
    expect(toCome.mean).toBe(0)
    expect(totalsOf(1_234, toCome)).toEqual({
      total: 1_234,
      low80: 1_234,
      high80: 1_234,
      low95: 1_234,
      high95: 1_234,
    })
  })

  it('has a curve off by less the more hours are over and to come, and never off by nothing', () => {
    const hours = Array.from({ length: 10 }, () => 0.1)
    // Five equal hours before and five after: 0.85 · (1/5 + 1/5) + 3 · 0.15 = 0.79 of the square.
    expect(shapeVariance(hours, 0.5, 0.2)).toBeCloseTo(0.04 * 0.79, 12)
    expect(shapeVariance(hours, 0.1, 0.2)).toBeCloseTo(0.04 * (0.85 * (1 + 1 / 9) + 0.45), 12)
  })

  it('reads large totals from the lognormal as the sum of chances has them', () => {
    const few = totalsOf(0, { mean: 1_999.99, extraVariance: 90_000 })
    const many = totalsOf(0, { mean: 2_000, extraVariance: 90_000 })
    for (const key of ['low95', 'low80', 'total', 'high80', 'high95'] as const)
      expect(Math.abs(few[key] / many[key] - 1)).toBeLessThan(0.02)
  })

  it('gives whole, ordered numbers, none under what came, for any input', () => {
    const part = fc.double({ min: 0, max: 1, noNaN: true })
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 20_000 }),
        part,
        fc.option(fc.integer({ min: 0, max: 40_000 })),
        part,
        part,
        (planned, share, came, variance, curveVariance) => {
          const prior = { mean: 0, variance: variance + 1e-4, curveVariance, curveCovariance: 0 }
          const said = turnoutForecast({ planned, prior, share, came })
          const { low95, low80, total, high80, high95 } = totalsOf(came ?? 0, said.toCome)
          const row = [came ?? 0, low95, low80, total, high80, high95]
          expect(row.every(Number.isSafeInteger)).toBe(true)
          expect(row).toEqual([...row].sort((a, b) => a - b))
          expect(said.factor.variance).toBeGreaterThanOrEqual(-1e-12)
          expect(said.factor.curveVariance).toBeGreaterThanOrEqual(-1e-12)
        },
      ),
      { numRuns: 200, seed: 4 },
    )
  })
})
