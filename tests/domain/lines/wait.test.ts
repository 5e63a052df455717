import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { lineAfter, perMinute, voterMinutesInLine, waitMinutes } from '../../../server/domain/lines/wait.ts'

describe('waits', () => {
  /**
   * M(t)/M/2 with 1.6 arrivals a minute, 0.6 served by each of two, 25 there at the start: exact means in the
   * system from the matrix exponential of the generator (SciPy 1.17, scipy.linalg.expm). Both stations are busy
   * all the time (p > 0.9999), so the fluid must agree.
   */
  it.each([
    [10, 29.0000000824],
    [20, 33.0000224502],
    [40, 41.0004682492],
    [60, 49.0012031529],
  ])('grows with busy stations as an exact queue does: after %i minutes %f (SciPy expm)', (minutes, mean) => {
    expect(lineAfter(25, 1.6 * minutes, minutes, perMinute(2, 1 / 0.6))).toBeCloseTo(mean, 2)
  })

  it('is the line at the pace of the stations', () => {
    expect(waitMinutes(60, perMinute(3, 1.5))).toBe(30)
    expect(waitMinutes(0, 0)).toBe(0)
    expect(waitMinutes(1, 0)).toBe(Number.POSITIVE_INFINITY)
  })

  it('sums waiting as the area under the line', () => {
    expect(voterMinutesInLine(10, 0, 5, 2)).toBe(25)
    expect(voterMinutesInLine(10, 10, 10, 1)).toBe(100)
    expect(voterMinutesInLine(10, 0, 60, 2)).toBe(25)
    expect(voterMinutesInLine(10, 10, 0, 1)).toBe(0)
  })

  it('is never below nobody, and never costs less with fewer stations', () => {
    const n = fc.double({ min: 0, max: 500, noNaN: true })
    fc.assert(
      fc.property(n, n, n, n, n, (line, coming, minutes, a, b) => {
        const [slow, fast] = a < b ? [a, b] : [b, a]
        expect(lineAfter(line, coming, minutes, slow)).toBeGreaterThanOrEqual(0)
        const cost = voterMinutesInLine(line, coming, minutes, slow)
        expect(cost).toBeGreaterThanOrEqual(0)
        expect(cost).toBeGreaterThanOrEqual(voterMinutesInLine(line, coming, minutes, fast) - 1e-6)
      }),
    )
  })
})
