import { describe, expect, it } from 'vitest'
import { chanceScores, turnoutCoverage } from '../../support/calibrate.ts'
import { madeDay } from '../../support/manyDays.ts'

const percent = (share: number) => Math.round(1_000 * share) / 10

describe('forecasts held against made-up days', () => {
  it('turnout: 80% intervals hold the total 75 to 88 times in a hundred, 95% ones 91 to 98 times', () => {
    const rows = turnoutCoverage(240, 8)
    expect(rows).toHaveLength(8)
    for (const { what, hour, within80, within95 } of rows) {
      const name = `${what} at ${hour}`
      expect(percent(within80), name).toBeGreaterThanOrEqual(75)
      expect(percent(within80), name).toBeLessThanOrEqual(88)
      expect(percent(within95), name).toBeGreaterThanOrEqual(91)
      expect(percent(within95), name).toBeLessThanOrEqual(98)
    }
    const widths = rows.filter(r => r.what === 'precinct').map(r => r.width80)
    expect(widths).toEqual([...widths].sort((a, b) => b - a))
    expect(widths.at(-1)! / widths[0]!).toBeLessThan(0.5)
  })

  it('late openings and long waits: better than who knows how often they happen', () => {
    const { late, wait } = chanceScores(20, 12)
    for (const { hour, happened, brier, ofBaseRate } of [...late, ...wait]) {
      expect(happened, `at ${hour}`).toBeGreaterThan(0.02)
      expect(brier, `at ${hour}`).toBeLessThan(ofBaseRate)
    }
    expect(sum(late.map(s => s.brier)) / sum(late.map(s => s.ofBaseRate))).toBeLessThan(0.75)
    expect(sum(wait.map(s => s.brier)) / sum(wait.map(s => s.ofBaseRate))).toBeLessThan(0.75)
  }, 60_000)

  it('the same seed makes the same day, another one another', () => {
    const totals = (seed: number) => madeDay(seed, 5).precincts.map(p => p.total)
    expect(totals(1)).toEqual(totals(1))
    expect(totals(1)).not.toEqual(totals(2))
  })
})

function sum(numbers: readonly number[]): number {
  return numbers.reduce((a, b) => a + b, 0)
}
