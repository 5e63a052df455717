import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  accrual,
  ENOUGH_GAPS,
  heardAfter,
  NO_RHYTHM,
  phi,
  spreadOf,
} from '../../../server/domain/silence/accrual.ts'
import { inputOf, published } from '../numbers/statistics.ts'

const rhythmOf = (gaps: readonly number[]) => gaps.reduce(heardAfter, NO_RHYTHM)
const regular = (gap: number, n = ENOUGH_GAPS) => rhythmOf(Array.from({ length: n }, () => gap))

describe('accrual of silence', () => {
  it('has the published values (statistics.csv: −log10(1 − F), normal F)', () => {
    for (const row of published('phi_accrual'))
      expect(accrual(inputOf(row, 'mean'), inputOf(row, 'sd'), inputOf(row, 'elapsed'))).toBeCloseTo(
        row.value,
        9,
      )
  })

  it('remembers mean and spread of the gaps', () => {
    const gaps = [28, 31, 30, 45, 29, 30, 12]
    const mean = gaps.reduce((a, b) => a + b) / gaps.length
    const sd = Math.sqrt(gaps.reduce((a, g) => a + (g - mean) ** 2, 0) / (gaps.length - 1))
    const rhythm = rhythmOf(gaps)
    expect(rhythm.mean).toBeCloseTo(mean, 12)
    expect(spreadOf(rhythm)).toBeCloseTo(sd, 12)
  })

  it('says nothing before there is a rhythm', () => {
    expect(phi(regular(30_000, ENOUGH_GAPS - 1), 1e9)).toBe(0)
    expect(phi(regular(30_000), 120_000)).toBeGreaterThan(10)
  })

  it('takes no rhythm to be more exact than a quarter of its mean', () => {
    const rhythm = regular(30_000)
    expect(spreadOf(rhythm)).toBe(7_500)
    // One standard deviation late: 0.1587 of the gaps are longer (normal table, from memory).
    expect(phi(rhythm, 37_500)).toBeCloseTo(-Math.log10(0.15865525393145707), 10)
  })

  it('forgets an old rhythm: after a few hundred gaps at another the mean has moved there', () => {
    const rhythm = Array.from({ length: 1_000 }, () => 60_000).reduce(heardAfter, regular(30_000, 500))
    expect(rhythm.mean / 60_000).toBeGreaterThan(0.98)
    expect(rhythm.gaps).toBe(200)
  })

  it('is not moved by a gap that is none', () => {
    const rhythm = regular(30_000)
    for (const gap of [0, -5, Number.NaN]) expect(heardAfter(rhythm, gap)).toBe(rhythm)
  })

  it('is finite, from 0 to 300, and never falls while the quiet goes on', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -10, max: 3_600_000 }), { minLength: 30, maxLength: 260 }),
        fc.integer({ min: -1_000, max: 1e9 }),
        fc.integer({ min: 0, max: 1e9 }),
        (gaps, quiet, more) => {
          const rhythm = rhythmOf(gaps)
          const now = phi(rhythm, quiet)
          expect(now).toBeGreaterThanOrEqual(0)
          expect(now).toBeLessThanOrEqual(300)
          expect(phi(rhythm, quiet + more)).toBeGreaterThanOrEqual(now - 1e-9)
        },
      ),
      { seed: 13 },
    )
  })
})
