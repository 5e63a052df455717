import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { indexOf } from '../../../server/domain/plan/brief.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import {
  arrivals,
  expectedBy,
  HANDFUL,
  pace,
  paceOfAll,
  surelyMore,
} from '../../../server/domain/turnout/expected.ts'
import { instantOfShare, QUARTER, shareBy } from '../../../server/domain/turnout/profile.ts'
import { aPlan, DAY } from '../../support/aPlan.ts'
import { at } from '../../support/given.ts'

const { brief } = indexOf(aPlan(), DAY)
const share = (time: string) => shareBy(brief.profile, brief.midnight, at(time))

describe('the arrival profile', () => {
  it('has nobody before opening, everybody at closing, and rows of the plan at their ends', () => {
    expect(share('05:00')).toBe(0)
    expect(share('06:30')).toBe(0)
    expect(share('08:30')).toBeCloseTo(0.2, 12)
    expect(share('11:30')).toBeCloseTo(0.4, 12)
    expect(share('19:30')).toBeCloseTo(1, 12)
    expect(share('23:59')).toBeCloseTo(1, 12)
  })

  it('is linear inside a quarter hour', () => {
    const quarter = share('06:45')
    expect(share('06:35')).toBeCloseTo(quarter / 3, 12)
    expect(share('06:40')).toBeCloseTo((quarter * 2) / 3, 12)
  })

  it('stays at 0 before midnight and at its sum after its end', () => {
    expect(shareBy([0.5, 0.5], 0, -1)).toBe(0)
    expect(shareBy([0.5, 0.5], 0, 100 * QUARTER)).toBe(1)
  })

  it('never falls, and its inverse finds the first instant of each share', () => {
    const shares = fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 1, maxLength: 30 })
    fc.assert(
      fc.property(shares, fc.double({ min: 0, max: 1, noNaN: true }), (profile, part) => {
        const whole = profile.reduce((a, b) => a + b, 0)
        const wanted = whole * part
        const found = instantOfShare(profile, 1_000, wanted)
        expect(found).not.toBeNull()
        expect(shareBy(profile, 1_000, found!)).toBeCloseTo(wanted, 3)
        expect(shareBy(profile, 1_000, found! - 2)).toBeLessThanOrEqual(wanted)
        expect(instantOfShare(profile, 1_000, whole + 0.1)).toBeNull()
      }),
    )
  })
})

describe('expected voters and pace', () => {
  it('counts arrivals between two instants, none where the second is not later', () => {
    expect(expectedBy(brief, 1_000, at('08:30'))).toBeCloseTo(200, 9)
    expect(arrivals(brief, 1_000, at('08:30'), at('11:30'))).toBeCloseTo(200, 9)
    expect(arrivals(brief, 1_000, at('11:30'), at('08:30'))).toBe(0)
  })

  it('holds a count against what was expected at its own instant', () => {
    expect(pace(brief, 1_000, { is: 230, asOf: at('08:30') })).toBe(15)
    expect(pace(brief, 1_000, { is: 150, asOf: at('08:30') })).toBe(-25)
  })

  it('says nothing while fewer than a handful are expected', () => {
    const just = instantOfShare(brief.profile, brief.midnight, HANDFUL / 1_000)!
    expect(pace(brief, 1_000, { is: 3, asOf: just - MINUTE })).toBeNull()
    expect(pace(brief, 1_000, { is: 40, asOf: just + MINUTE })).toBeGreaterThan(50)
    expect(pace(brief, 1_000, null)).toBeNull()
  })

  it('joins precincts with their counts at different instants', () => {
    expect(
      paceOfAll(brief, [
        { expected: 1_000, checkedIn: { is: 220, asOf: at('08:30') } },
        { expected: 1_000, checkedIn: { is: 420, asOf: at('11:30') } },
        { expected: 1_000, checkedIn: null },
      ]),
    ).toBe(7)
    expect(paceOfAll(brief, [])).toBeNull()
  })

  it('raises what is to come only by what a count surely shows', () => {
    expect(surelyMore(brief, 1_000, { is: 220, asOf: at('08:30') })).toBe(1)
    expect(surelyMore(brief, 1_000, { is: 400, asOf: at('08:30') })).toBeCloseTo(1.8, 9)
    expect(surelyMore(brief, 1_000, { is: 20, asOf: at('08:30') })).toBe(1)
  })
})
