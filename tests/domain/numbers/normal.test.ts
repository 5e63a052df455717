import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { hazard, normalBelow, normalQuantile, Z90 } from '../../../server/domain/numbers/normal.ts'
import { inputOf, published } from './statistics.ts'

describe('the normal distribution', () => {
  it('gives the published chances of a deadline (statistics.csv: textbooks from memory, SciPy)', () => {
    for (const row of published('pert_sum_normal')) {
      const z = (inputOf(row, 'D') - inputOf(row, 'mean')) / Math.sqrt(inputOf(row, 'var'))
      // The inputs are printed to four places.
      expect(normalBelow(z), row.inputs).toBeCloseTo(row.value, 5)
    }
    const deadlines = published('pert_deadline')
    for (const row of deadlines.filter(r => r.quantity === 'z')) {
      const chance = deadlines.find(r => r.inputs === row.inputs && r.quantity === 'P(finish<=D)')!
      expect(normalBelow(row.value), row.source).toBeCloseTo(chance.value, 13)
    }
  })

  it('has the tabulated quantiles (from memory: 1.6449, 1.9600, 2.5758, 3.0902)', () => {
    expect(normalQuantile(0.95)).toBeCloseTo(1.6448536269514722, 12)
    expect(normalQuantile(0.975)).toBeCloseTo(1.959963984540054, 12)
    expect(normalQuantile(0.995)).toBeCloseTo(2.5758293035489004, 12)
    expect(normalQuantile(0.999)).toBeCloseTo(3.0902323061678132, 12)
    expect(normalQuantile(0.9)).toBeCloseTo(Z90, 13)
    expect(normalQuantile(0.5)).toBe(0)
  })

  it('has the tail that its asymptotic series has (Abramowitz and Stegun 26.2.12)', () => {
    for (const z of [12, 20, 30]) {
      const density = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI)
      const series = (density / z) * (1 - 1 / z ** 2 + 3 / z ** 4 - 15 / z ** 6 + 105 / z ** 8)
      expect(normalBelow(-z) / series).toBeCloseTo(1, 5)
    }
  })

  it('is symmetric, rises, and is undone by its quantile', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -40, max: 40, noNaN: true }),
        fc.double({ min: 0, max: 5, noNaN: true }),
        (z, more) => {
          const below = normalBelow(z)
          expect(below + normalBelow(-z)).toBeCloseTo(1, 14)
          expect(normalBelow(z + more)).toBeGreaterThanOrEqual(below - 1e-15)
          if (Math.abs(z) < 5) expect(normalQuantile(below)).toBeCloseTo(z, 8)
        },
      ),
      { seed: 11 },
    )
  })

  it('is held at the ends and finite for any chance', () => {
    expect(normalBelow(-50)).toBe(0)
    expect(normalBelow(50)).toBe(1)
    for (const p of [0, 1, -3, 2, Number.MIN_VALUE]) expect(Math.abs(normalQuantile(p))).toBeLessThan(8.4)
  })

  it('has a hazard of √(2/π) in the middle, and one that goes on smoothly where the tail underflows', () => {
    expect(hazard(0).rate).toBeCloseTo(Math.sqrt(2 / Math.PI), 14)
    const [before, after] = [hazard(20), hazard(20.000001)]
    expect(after.rate).toBeCloseTo(before.rate, 4)
    expect(after.excess).toBeCloseTo(before.excess, 4)
    for (const z of [-300, -5, 5, 37, 38, 1e6]) {
      expect(hazard(z).excess).toBeGreaterThan(0)
      expect(Number.isFinite(hazard(z).rate)).toBe(true)
    }
  })
})
