import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { normalBelow } from '../../../server/domain/numbers/normal.ts'
import {
  AT_ONCE,
  CELL,
  chanceBy,
  durationOf,
  exactly,
  type Grid,
  laterOf,
  longerThan,
  meanOf,
  minutesBy,
  remaining,
  sumOf,
} from '../../../server/domain/readiness/grid.ts'
import { inputOf, published } from '../numbers/statistics.ts'

/** Any distribution on the grid: the chance of each cell from its distribution function, in minutes. */
function onGrid(below: (minutes: number) => number): Grid {
  const cells = Array.from(
    { length: 720 },
    (_, i) => below((i + 0.5) * CELL) - (i === 0 ? 0 : below((i - 0.5) * CELL)),
  )
  return Float64Array.from(cells)
}
const exponential = (mean: number) => onGrid(t => 1 - Math.exp(-t / mean))
const normal = (mean: number, variance: number) => onGrid(t => normalBelow((t - mean) / Math.sqrt(variance)))
const TIMES = [1, 5, 10, 20, 30, 45, 60, 90]

describe('durations on a grid', () => {
  it('sum to an Erlang distribution where they are exponential: 1 − e^(−λt) Σ (λt)^k ÷ k!', () => {
    const three = sumOf(sumOf(exponential(10), exponential(10)), exponential(10))
    for (const t of TIMES) {
      const x = t / 10
      expect(chanceBy(three, t)).toBeCloseTo(1 - Math.exp(-x) * (1 + x + (x * x) / 2), 3)
    }
    expect(meanOf(three)).toBeCloseTo(30, 1)
  })

  it('sum to the known distribution of two exponentials of different means', () => {
    const both = sumOf(exponential(8), exponential(20))
    for (const t of TIMES)
      expect(chanceBy(both, t)).toBeCloseTo(1 - (20 * Math.exp(-t / 20) - 8 * Math.exp(-t / 8)) / 12, 3)
  })

  it('join to the latest of exponentials: (1 − e^(−λt))^n, mean (1 ÷ λ)(1 + 1/2 + … + 1/n)', () => {
    let latest = exponential(10)
    for (let n = 2; n <= 4; n++) latest = laterOf(latest, exponential(10))
    for (const t of TIMES) expect(chanceBy(latest, t)).toBeCloseTo((1 - Math.exp(-t / 10)) ** 4, 3)
    expect(meanOf(latest)).toBeCloseTo(10 * (1 + 1 / 2 + 1 / 3 + 1 / 4), 1)
  })

  it('give the published chance of a path of activities (statistics.csv, General Foundry: .7157 from memory)', () => {
    // Means and variances of A, C, E, G, H in weeks, from their three times (Heizer and Render, from memory); a week is ten minutes.
    const path = [
      [2, 4],
      [2, 4],
      [4, 36],
      [5, 64],
      [2, 4],
    ].map(([mean, variance]) => normal(10 * mean!, (100 * variance!) / 36))
    const rows = published('pert_deadline').filter(r => r.inputs.includes('General Foundry'))
    const of = (quantity: string) => rows.find(r => r.quantity === quantity)!.value
    const total = path.reduce(sumOf)
    expect(meanOf(total) / 10).toBeCloseTo(of('mean'), 2)
    expect(Math.abs(chanceBy(total, 160) - of('P(finish<=D)'))).toBeLessThan(0.002)
  })

  it('give the published chance of a deadline of 28 with mean 24 and variance 5 (statistics.csv, Taylor: .9633)', () => {
    const rows = published('pert_deadline').filter(r => r.inputs.startsWith('path 1-3-5-7'))
    const of = (quantity: string) => rows.find(r => r.quantity === quantity)!.value
    const half = normal(5 * of('mean'), 50 * of('var'))
    expect(Math.abs(chanceBy(sumOf(half, half), 280) - of('P(finish<=D)'))).toBeLessThan(0.001)
  })

  it('are lognormal with the published quantiles and mean (statistics.csv, SciPy)', () => {
    for (const row of published('lognormal')) {
      const duration = { median: Math.exp(inputOf(row, 'mu')), sigma: inputOf(row, 'sigma') }
      const part = /^q([\d.]+)$/.exec(row.quantity)
      if (part) expect(longerThan(duration, row.value), row.inputs).toBeCloseTo(1 - Number(part[1]), 6)
      // Cells of half a minute are fine enough for the longer of the two.
      if (duration.median < 10) continue
      const grid = remaining(duration, 0)
      if (part) expect(minutesBy(grid, Number(part[1]))).toBeCloseTo(row.value, 1)
      else expect(meanOf(grid)).toBeCloseTo(row.value, 1)
    }
  })

  it('come from the two figures of the plan', () => {
    const duration = durationOf(8, 20)
    expect(longerThan(duration, 8)).toBeCloseTo(0.5, 12)
    expect(longerThan(duration, 20)).toBeCloseTo(0.1, 12)
    // A plan that has them the wrong way round says: always the same.
    expect(durationOf(8, 5)).toEqual({ median: 8, sigma: 0.01 })
  })

  it('are conditioned on having lasted so long already', () => {
    const duration = durationOf(10, 25)
    for (const elapsed of [4, 15, 60]) {
      const rest = remaining(duration, elapsed)
      for (const t of TIMES) {
        const left = longerThan(duration, elapsed + t) / longerThan(duration, elapsed)
        expect(chanceBy(rest, t)).toBeCloseTo(1 - left, 2)
      }
    }
    expect(minutesBy(remaining(duration, 60), 0.5)).toBeGreaterThan(minutesBy(remaining(duration, 0), 0.5))
  })

  it('take half of the time gone by where lasting so long was next to impossible', () => {
    expect(remaining({ median: 5, sigma: 0.01 }, 60)).toEqual(exactly(30))
  })

  it('are as they were beside no time at all, and moved by an exact time', () => {
    const grid = exponential(10)
    expect(sumOf(AT_ONCE, grid)).toBe(grid)
    expect(laterOf(grid, AT_ONCE)).toBe(grid)
    expect(minutesBy(sumOf(grid, exactly(12)), 0.5)).toBeCloseTo(12 + minutesBy(grid, 0.5), 1)
  })

  it('keep all chance on six hours, whatever is summed and joined, and read both ways alike', () => {
    const duration = fc.record({
      median: fc.double({ min: 0.5, max: 600, noNaN: true }),
      sigma: fc.double({ min: 0.01, max: 3, noNaN: true }),
    })
    fc.assert(
      fc.property(duration, duration, fc.double({ min: -10, max: 2_000, noNaN: true }), (a, b, elapsed) => {
        const [x, y] = [remaining(a, elapsed), remaining(b, 0)]
        for (const grid of [x, y, sumOf(x, y), laterOf(x, y)]) {
          expect(grid.reduce((sum, chance) => sum + chance)).toBeCloseTo(1, 9)
          expect(Math.min(...grid)).toBeGreaterThanOrEqual(0)
          expect(grid.length).toBeLessThanOrEqual(720)
          for (const part of [0.1, 0.5, 0.9]) {
            const by = minutesBy(grid, part)
            expect(chanceBy(grid, by + 0.001)).toBeGreaterThanOrEqual(part - 1e-9)
          }
        }
        expect(chanceBy(laterOf(x, y), 30)).toBeLessThanOrEqual(
          Math.min(chanceBy(x, 30), chanceBy(y, 30)) + 1e-3,
        )
      }),
      { seed: 21, numRuns: 60 },
    )
  })
})
