import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { chanceTogether } from '../../../server/domain/silence/together.ts'

describe('silent together', () => {
  it('is exact in small cases counted by hand', () => {
    // 4 of 8 silent, all four of a group of four: 1 of C(8, 4) = 70 ways. R. A. Fisher's tea (1935).
    expect(chanceTogether(8, 4, 4, 4)).toBeCloseTo(1 / 70, 12)
    // Three or four of the four: (C(4, 3)·C(4, 1) + 1) ÷ 70.
    expect(chanceTogether(8, 4, 4, 3)).toBeCloseTo(17 / 70, 12)
    // 2 of 5 silent, both in a group of two: 1 of C(5, 2) = 10 ways; at least one: 1 − C(3, 2) ÷ 10.
    expect(chanceTogether(5, 2, 2, 2)).toBeCloseTo(0.1, 12)
    expect(chanceTogether(5, 2, 2, 1)).toBeCloseTo(0.7, 12)
  })

  it('is certain where it can not be otherwise, and never where it can not be', () => {
    expect(chanceTogether(10, 3, 4, 0)).toBeCloseTo(1, 12)
    expect(chanceTogether(10, 10, 4, 4)).toBeCloseTo(1, 12)
    expect(chanceTogether(10, 3, 4, 4)).toBe(0)
    expect(chanceTogether(0, 0, 0, 0)).toBe(1)
  })

  it('is small for a group that falls silent as one in a wide county', () => {
    // 6 of 1,000 silent, all in one area of 20: C(20, 6) ÷ C(1000, 6), by hand 38,760 ÷ 1.3682e15.
    expect(chanceTogether(1_000, 6, 20, 6) / (38_760 / 1_368_173_298_991_500)).toBeCloseTo(1, 9)
  })

  it('is a chance that falls as more of the group are silent', () => {
    fc.assert(
      fc.property(fc.nat(2_000), fc.nat(2_000), fc.nat(2_000), fc.nat(2_000), (a, b, c, d) => {
        const all = Math.max(a, 1)
        const [silent, members] = [b % (all + 1), c % (all + 1)]
        const inGroup = d % (Math.min(silent, members) + 1)
        const chance = chanceTogether(all, silent, members, inGroup)
        expect(chance).toBeGreaterThanOrEqual(0)
        expect(chance).toBeLessThanOrEqual(1)
        expect(chanceTogether(all, silent, members, inGroup + 1)).toBeLessThanOrEqual(chance)
      }),
      { seed: 14 },
    )
  })
})
