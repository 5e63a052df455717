import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { runOut, shareUntilOut } from '../../../server/domain/ballots/runOut.ts'

const poisson = (mean: number) => ({ mean, extraVariance: 0 })

describe('ballots against those who still come', () => {
  it('has the tables’ chances where those who come are a Poisson count', () => {
    // P(N ≤ 10) = 0.5830 and P(N ≤ 15) = 0.9513 for a mean of 10 (tables of the Poisson distribution, from memory).
    expect(runOut(10, poisson(10), 1).chance).toBeCloseTo(1 - 0.583, 4)
    expect(runOut(15, poisson(10), 1).chance).toBeCloseTo(1 - 0.9513, 4)
    expect(runOut(10, poisson(10), 1)).toMatchObject({ wanted: 10, wanted90: 14 })
    expect(runOut(0, poisson(2), 1).chance).toBeCloseTo(1 - Math.exp(-2), 12)
  })

  it('needs nothing where nobody comes', () => {
    expect(runOut(0, poisson(0), 1.05)).toEqual({ chance: 0, wanted: 0, wanted90: 0 })
  })

  it('needs more where voters use more than a ballot each', () => {
    // At 1.1 each, 110 ballots are as many as come on average: about an even chance; at one each a good deviation more.
    expect(runOut(110, poisson(100), 1.1).chance).toBeGreaterThan(0.4)
    expect(runOut(110, poisson(100), 1).chance).toBeLessThan(0.16)
    expect(runOut(110, poisson(100), 1.1).wanted).toBe(110)
  })

  it('finds the share of those to come after whom it is used up with a chance', () => {
    const toCome = { mean: 400, extraVariance: 60 ** 2 }
    const share = shareUntilOut(300, toCome, 1, 0.5)!
    const then = { mean: 400 * share, extraVariance: (60 * share) ** 2 }
    expect(runOut(300, then, 1).chance).toBeCloseTo(0.5, 3)
    expect(share).toBeCloseTo(0.75, 1)
    expect(shareUntilOut(300, toCome, 1, 0.1)!).toBeLessThan(share)
    expect(shareUntilOut(800, toCome, 1, 0.1)).toBeNull()
    expect(shareUntilOut(0, toCome, 1, 0.1)).toBe(0)
  })

  it('gives chances, and a chance that falls with the stock, for any input', () => {
    const some = fc.double({ min: 0, max: 3_000, noNaN: true })
    fc.assert(
      fc.property(some, some, some, fc.double({ min: 0.5, max: 3, noNaN: true }), (left, mean, sd, each) => {
        const toCome = { mean, extraVariance: Math.min(sd, mean) ** 2 }
        const said = runOut(left, toCome, each)
        expect(said.chance).toBeGreaterThanOrEqual(0)
        expect(said.chance).toBeLessThanOrEqual(1)
        expect(said.wanted90).toBeGreaterThanOrEqual(said.wanted)
        expect(runOut(left + 50, toCome, each).chance).toBeLessThanOrEqual(said.chance + 1e-9)
        const share = shareUntilOut(left, toCome, each, 0.1)
        if (share !== null) expect(share).toBeLessThanOrEqual(1)
      }),
      { numRuns: 100, seed: 7 },
    )
  })
})
