import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { comingBetween, instantWhen } from '../../../server/domain/turnout/coming.ts'
import { clock } from '../../support/forecastInput.ts'

/** Five minutes into a quarter hour; closing ten minutes into one. */
const day = { at: clock(9) + 300_000, midnight: 0, closesAt: clock(9.5) + 600_000 }
const coming = [20, 60, 30]
const at = (minutes: number) => clock(9) + minutes * 60_000

describe('those still to come', () => {
  it('come evenly in what is left of a quarter hour, and until closing', () => {
    expect(comingBetween(coming, day, at(5), at(10))).toBeCloseTo(10, 9)
    expect(comingBetween(coming, day, at(0), at(10))).toBeCloseTo(10, 9)
    expect(comingBetween(coming, day, at(10), at(20))).toBeCloseTo(10 + 20, 9)
    expect(comingBetween(coming, day, at(35), at(40))).toBeCloseTo(15, 9)
    expect(comingBetween(coming, day, at(0), at(600))).toBeCloseTo(110, 9)
    expect(comingBetween(coming, day, at(40), at(600))).toBe(0)
    expect(comingBetween(coming, day, at(20), at(10))).toBe(0)
    expect(comingBetween([], day, at(0), at(600))).toBe(0)
  })

  it('have come at an instant: now where it is nobody, closing at the latest', () => {
    expect(instantWhen(coming, day, 0)).toBe(day.at)
    expect(instantWhen(coming, day, -5)).toBe(day.at)
    expect(instantWhen(coming, day, 10)).toBe(at(10))
    expect(instantWhen(coming, day, 40)).toBe(at(20))
    expect(instantWhen(coming, day, 95)).toBe(at(35))
    expect(instantWhen(coming, day, 111)).toBe(day.closesAt)
    expect(instantWhen([], { ...day, closesAt: day.at - 1 }, 5)).toBe(day.at)
  })

  it('are as many by that instant, for any day', () => {
    const some = fc.array(fc.oneof(fc.constant(0), fc.double({ min: 0, max: 500, noNaN: true })), {
      maxLength: 12,
    })
    const from = fc.integer({ min: 0, max: 3_600_000 })
    fc.assert(
      fc.property(some, from, fc.double({ min: 0, max: 1, noNaN: true }), (quarters, start, part) => {
        const of = { at: start, midnight: 0, closesAt: start + quarters.length * 900_000 }
        const all = comingBetween(quarters, of, start, of.closesAt)
        const when = instantWhen(quarters, of, all * part)
        expect(when).toBeGreaterThanOrEqual(of.at)
        expect(when).toBeLessThanOrEqual(of.closesAt)
        // Instants are whole milliseconds.
        expect(Math.abs(comingBetween(quarters, of, start, when) - all * part)).toBeLessThan(0.001)
      }),
      { seed: 9, numRuns: 200 },
    )
  })
})
