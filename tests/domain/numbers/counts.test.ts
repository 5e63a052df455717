import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { countBelow, countQuantiles, logGamma, poissonBelow } from '../../../server/domain/numbers/counts.ts'
import { inputOf, published } from './statistics.ts'

const poisson = (mean: number) => ({ mean, extraVariance: 0 })

describe('logGamma', () => {
  it('is the logarithm of factorials and of √π at a half', () => {
    let factorial = 1
    expect(logGamma(1)).toBeCloseTo(0, 13)
    for (let n = 2; n <= 20; n++) {
      factorial *= n
      expect(logGamma(n + 1) / Math.log(factorial)).toBeCloseTo(1, 12)
    }
    expect(logGamma(0.5)).toBeCloseTo(Math.log(Math.PI) / 2, 13)
    expect(logGamma(0.25) + logGamma(0.75)).toBeCloseTo(Math.log(Math.PI * Math.SQRT2), 12)
  })
})

describe('counts', () => {
  it('put 2.5 in a hundred outside the ends of exact intervals (statistics.csv: Garwood 1936, SciPy)', () => {
    for (const row of published('poisson_exact95')) {
      const x = inputOf(row, 'x')
      if (row.quantity === 'high')
        expect(countBelow(poisson(row.value), x), row.inputs).toBeCloseTo(0.025, 10)
      else if (row.value > 0) expect(countBelow(poisson(row.value), x - 1), row.inputs).toBeCloseTo(0.975, 10)
    }
  })

  it('are geometric where the mean is exponential: P(N ≤ n) = 1 − (m ÷ (1 + m))^(n + 1)', () => {
    for (const mean of [0.3, 4, 90])
      for (const n of [0, 1, 7, 200])
        expect(countBelow({ mean, extraVariance: mean * mean }, n)).toBeCloseTo(
          1 - (mean / (1 + mean)) ** (n + 1),
          10,
        )
  })

  it('have the mean and the variance they are asked for', () => {
    for (const spread of [poisson(40), { mean: 40, extraVariance: 160 }, { mean: 900, extraVariance: 1e4 }]) {
      let mean = 0
      let second = 0
      for (let n = 0; n < 3_000; n++) {
        const beyond = 1 - countBelow(spread, n)
        mean += beyond
        second += (2 * n + 1) * beyond
      }
      expect(mean / spread.mean).toBeCloseTo(1, 6)
      expect((second - mean * mean) / (spread.mean + spread.extraVariance)).toBeCloseTo(1, 4)
    }
  })

  it('give the least count that holds a part', () => {
    const spread = { mean: 212.5, extraVariance: 2_000 }
    const parts = [0.025, 0.1, 0.5, 0.9, 0.975]
    const found = countQuantiles(spread, parts)
    for (const [i, n] of found.entries()) {
      expect(countBelow(spread, n)).toBeGreaterThanOrEqual(parts[i]! - 1e-9)
      expect(countBelow(spread, n - 1)).toBeLessThan(parts[i]!)
    }
    expect(countQuantiles(poisson(0), parts)).toEqual([0, 0, 0, 0, 0])
  })

  it('agree with the table of a Poisson count', () => {
    for (const mean of [0, 0.2, 17, 400]) {
      const table = poissonBelow(mean, 450)
      for (const n of [0, 3, 20, 400, 450]) expect(table[n]).toBeCloseTo(countBelow(poisson(mean), n), 9)
    }
  })

  it('are chances between 0 and 1 that rise, and whole counts in order, for any spread', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 20_000, noNaN: true }),
        fc.double({ min: 0, max: 3, noNaN: true }),
        fc.integer({ min: -2, max: 30_000 }),
        (mean, cv, n) => {
          const spread = { mean, extraVariance: (cv * mean) ** 2 }
          const below = countBelow(spread, n)
          expect(below).toBeGreaterThanOrEqual(0)
          expect(below).toBeLessThanOrEqual(1)
          expect(countBelow(spread, n + 1)).toBeGreaterThanOrEqual(below)
          const [low, middle, high] = countQuantiles(spread, [0.05, 0.5, 0.95])
          expect(low!).toBeLessThanOrEqual(middle!)
          expect(middle!).toBeLessThanOrEqual(high!)
          for (const found of [low, middle, high]) expect(Number.isSafeInteger(found)).toBe(true)
        },
      ),
      { seed: 12, numRuns: 60 },
    )
  })
})
