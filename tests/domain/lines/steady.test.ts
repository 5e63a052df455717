import { describe, expect, it } from 'vitest'
import { mustWait, usualWait } from '../../../server/domain/lines/steady.ts'
import { table } from './tables.ts'

describe('the steady state', () => {
  /** GNU Octave 7.3, package queueing 1.2.7 (tests/reference/mmc.csv). */
  it('has the chance to wait and the long waits of mmc.csv', () => {
    const rows = table('mmc.csv')
    expect(rows).toHaveLength(33)
    for (const row of rows) {
      const wait = mustWait(row.lambda! / row.mu!, row.m!)
      expect(wait).toBeCloseTo(row.erlang_c!, 11)
      const longer = wait * Math.exp(-(row.m! * row.mu! - row.lambda!) / 2)
      expect(longer).toBeCloseTo(row['P_wait_gt_0.5_time_unit']!, 11)
    }
  })

  /** The formula worked out with Python, as are the other approximations of the project's reference tables. */
  it.each([
    [0.8, 1, 1, (0.5 + 0.5) / 2, 2.0000000000000004],
    [0.8, 1, 1, 1, 4.000000000000001],
    [1.8, 1, 2, (1 + 0.25) / 2, 2.6824090672733476],
    [4.5, 1, 5, (1 + 0.5) / 2, 1.1570180991995034],
    [60, 40, 2, (1 + 0.36) / 2, 0.022406885755325998],
  ])(
    'by Sakasegawa, %f a minute before stations of %f × %i: spread %f, wait %f',
    (comes, takes, n, spread, wait) => {
      expect(usualWait(comes, n, takes, spread)).toBeCloseTo(wait, 12)
    },
  )

  it('is within a tenth of the exact mean wait of mmc.csv with up to ten stations from a load of 0.7 on', () => {
    for (const row of table('mmc.csv').filter(r => r.rho! >= 0.7 && r.m! <= 10)) {
      const wait = usualWait(row.lambda!, row.m!, row.mu!, 1)
      expect(Math.abs(wait / row.Wq! - 1)).toBeLessThan(0.1)
    }
  })

  it('is none where the load is over 1, and no wait where nobody comes', () => {
    expect(usualWait(2, 2, 1, 1)).toBe(Number.POSITIVE_INFINITY)
    expect(usualWait(1, 0, 1, 1)).toBe(Number.POSITIVE_INFINITY)
    expect(usualWait(0, 2, 1, 1)).toBe(0)
    expect([mustWait(3, 2), mustWait(0, 2), mustWait(1, 0)]).toEqual([1, 0, 1])
  })
})
