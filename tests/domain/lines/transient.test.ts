import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  allBusy,
  around,
  type Line,
  meanWaiting,
  onwards,
  quantileThere,
  waitsLonger,
} from '../../../server/domain/lines/transient.ts'
import { table } from './tables.ts'

const meanThere = (line: Line) => line.reduce((sum, chance, n) => sum + n * chance, 0)

describe('the exact line', () => {
  /** SciPy 1.17, matrix exponential of the generator (tests/reference/transient_queue.csv). */
  it('is that of the matrix exponential in every row of transient_queue.csv, to a millionth', () => {
    const rows = table('transient_queue.csv')
    expect(rows).toHaveLength(42)
    let line: Line = around(0, 0)
    let [last, minute] = ['', 0]
    for (const row of rows) {
      if (row.case !== last) {
        line = around(row.n0!, row.K!)
        minute = 0
        last = row.case
      }
      const stations = row.servers!
      line = onwards(line, {
        minutes: row.t_min! - minute,
        arriving: row.lambda_per_min!,
        stations,
        perStation: row.mu_per_min!,
      })
      minute = row.t_min!
      expect(Math.abs(meanThere(line) - row.mean_in_system!)).toBeLessThan(1e-6)
      expect(Math.abs(meanWaiting(line, stations) - row.mean_in_queue!)).toBeLessThan(1e-6)
      expect(Math.abs(line[0]! - row.p_empty!)).toBeLessThan(1e-9)
      expect(Math.abs(allBusy(line, stations) - row.p_all_busy!)).toBeLessThan(1e-9)
      const taken = 30 * stations * row.mu_per_min!
      expect(Math.abs(waitsLonger(line, stations, taken) - row.p_virtual_wait_gt_30min!)).toBeLessThan(1e-9)
    }
  })

  /** GNU Octave 7.3, package queueing 1.2.7 (tests/reference/mmc.csv). A load of 0.95 and over settles too slowly. */
  it('settles to the steady state of mmc.csv', () => {
    const rows = table('mmc.csv').filter(row => row.rho! < 0.94)
    expect(rows.length).toBeGreaterThan(20)
    for (const row of rows) {
      const [lambda, mu, m] = [row.lambda!, row.mu!, row.m!]
      // Differences fade at least as fast as exp(−(√cμ − √λ)²·t) (P. M. Morse, 1955).
      const minutes = 22 / (Math.sqrt(m * mu) - Math.sqrt(lambda)) ** 2
      const room = m + Math.ceil(Math.log(1e-11) / Math.log(row.rho!))
      const line = onwards(around(lambda / mu, room), {
        minutes,
        arriving: lambda,
        stations: m,
        perStation: mu,
      })
      expect(Math.abs(allBusy(line, m) - row.erlang_c!)).toBeLessThan(1e-6)
      expect(Math.abs(meanWaiting(line, m) - row.Lq!)).toBeLessThan(1e-6 * Math.max(1, row.Lq!))
      expect(Math.abs(waitsLonger(line, m, 0.5 * m * mu) - row['P_wait_gt_0.5_time_unit']!)).toBeLessThan(
        1e-6,
      )
    }
  })

  /** The same package's qsmmmk (tests/reference/mmck.csv): whoever finds the room full is lost. */
  it('settles to the steady state of mmck.csv in a small room, a load over 1 too', () => {
    for (const { lambda, mu, m, K, Q, p0, pK } of table('mmck.csv')) {
      const line = onwards(around(0, K!), {
        minutes: 2_000,
        arriving: lambda!,
        stations: m!,
        perStation: mu!,
      })
      expect(meanThere(line)).toBeCloseTo(Q!, 7)
      expect(line[0]).toBeCloseTo(p0!, 9)
      expect(line[K!]).toBeCloseTo(pK!, 9)
    }
  })

  it('stands still where nobody comes and nobody works, and begins between two numbers', () => {
    const line = around(2.25, 5)
    expect([...line]).toEqual([0, 0, 0.75, 0.25, 0, 0])
    expect([...onwards(line, { minutes: 9, arriving: 0, stations: 0, perStation: 1 })]).toEqual([...line])
    expect([...around(9, 3)]).toEqual([0, 0, 0, 1])
  })

  it('asks a wait of people: three there before one station wait for a third to leave', () => {
    // With n there and one station who comes waits for n to leave: at most n − 1 leave, by Poisson's chances.
    const line = around(3, 10)
    const most2 = Math.exp(-1.5) * (1 + 1.5 + 1.5 ** 2 / 2)
    expect(waitsLonger(line, 1, 1.5)).toBeCloseTo(most2, 12)
    expect(waitsLonger(line, 4, 1.5)).toBe(0)
    expect(quantileThere(line, 0.5)).toBe(3)
  })

  it('stays a distribution, and with more stations holds no more people', () => {
    const rate = fc.double({ min: 0, max: 8, noNaN: true })
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 60, noNaN: true }),
        fc.double({ min: 0, max: 20, noNaN: true }),
        rate,
        fc.integer({ min: 0, max: 8 }),
        fc.double({ min: 0.01, max: 2, noNaN: true }),
        (there, minutes, arriving, stations, perStation) => {
          const stretch = { minutes, arriving, stations, perStation }
          const line = onwards(around(there, 80), stretch)
          const sum = line.reduce((a, b) => a + b, 0)
          expect(Math.abs(sum - 1)).toBeLessThan(1e-12)
          expect(line.every(chance => chance >= 0 && chance <= 1)).toBe(true)
          const more = onwards(around(there, 80), { ...stretch, stations: stations + 1 })
          expect(meanThere(more)).toBeLessThanOrEqual(meanThere(line) + 1e-9)
        },
      ),
      { seed: 11, numRuns: 150 },
    )
  })
})
