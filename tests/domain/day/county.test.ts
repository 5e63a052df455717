import { describe, expect, test } from 'vitest'
import { countyCurve, countyOf } from '../../../server/domain/day/county.ts'
import { at, type Given, given, iso, opening, says, system } from '../../support/given.ts'

const rows = (day: Given) => ['E-01', 'E-02', 'E-03'].map(day.row)

describe('the county', () => {
  test('counts precincts by where they are', () => {
    const day = given(
      ...opening(),
      says('E-01', '06:30', 'PollsOpened', {}),
      says('E-02', '05:50', 'TeamReported', { present: 12, missing: [] }),
      system('E-02', '06:20', 'PrecinctFellSilent', { heardAt: iso('06:15'), silentAt: iso('06:20') }),
    )
    const county = countyOf(rows(day), day.index.brief)
    expect(county).toMatchObject({ precincts: 3, open: 1, settingUp: 1, silent: 1, counted: 0, share: 0 })
    expect(county.byStanding['not-heard']).toBe(1)
  })

  test('holds each count against what was expected at its own instant', () => {
    const day = given(
      says('E-01', '08:30', 'CountsReported', { checkedIn: 230 }),
      says('E-02', '11:30', 'CountsReported', { checkedIn: 700 }),
    )
    // A fifth of 1,000 by 8:30 and two fifths of 2,000 by 11:30, of 3,300 on the whole day.
    expect(countyOf(rows(day), day.index.brief)).toMatchObject({
      checkedIn: 930,
      expectedThen: 1_000,
      expected: 3_300,
      counted: 2,
      share: 930 / 3_300,
    })
  })

  test('the curve runs from the opening to the close beside what was expected', () => {
    const day = given(
      says('E-01', '06:30', 'PollsOpened', {}),
      says('E-01', '08:30', 'CountsReported', { checkedIn: 160 }),
    )
    const curve = countyCurve(rows(day), day.index.brief)
    expect(curve).toHaveLength(52)
    expect(curve[0]).toEqual({ at: at('06:45'), checkedIn: 20, expected: 82 })
    expect(curve[7]).toEqual({ at: at('08:30'), checkedIn: 160, expected: 660 })
    expect(curve[8]?.checkedIn).toBeNull()
    expect(curve.at(-1)).toEqual({ at: at('19:30'), checkedIn: null, expected: 3_300 })
  })

  test('the curve ends where fewer than half of those who count have counted', () => {
    const day = given(
      says('E-01', '07:30', 'CountsReported', { checkedIn: 50 }),
      says('E-02', '08:30', 'CountsReported', { checkedIn: 200 }),
      says('E-03', '09:30', 'CountsReported', { checkedIn: 60 }),
    )
    const curve = countyCurve(rows(day), day.index.brief)
    const last = curve.filter(p => p.checkedIn !== null).at(-1)
    expect(last?.at).toBe(at('08:30'))
    expect(last?.checkedIn).toBeGreaterThan(250)
  })

  test('voters after the legal close are on the curve', () => {
    const day = given(
      says('E-01', '06:30', 'PollsOpened', {}),
      says('E-01', '20:10', 'CountsReported', { checkedIn: 900 }),
    )
    const curve = countyCurve(rows(day), day.index.brief)
    expect(curve.at(-1)).toEqual({ at: at('20:15'), checkedIn: 900, expected: 3_300 })
  })

  test('before any count there is nothing to draw but what is expected', () => {
    const day = given()
    expect(countyCurve(rows(day), day.index.brief).every(p => p.checkedIn === null)).toBe(true)
  })
})
