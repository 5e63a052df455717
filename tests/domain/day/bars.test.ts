import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { given, iso, says } from '../../support/given.ts'

const opened = says('E-01', '06:30', 'PollsOpened', {})
const count = (time: string, checkedIn: number, how = {}) =>
  says('E-01', time, 'CountsReported', { checkedIn }, how)
const barsOf = (...said: Parameters<typeof given>) => given(...said).row('E-01').strip.bars
const sum = (bars: ReadonlyArray<readonly [number, number]>) => bars.reduce((s, [, n]) => s + n, 0)

describe('the bars of a day strip', () => {
  test('without a count there are none', () => {
    expect(barsOf(opened)).toEqual([])
  })

  test('voters are spread evenly from the opening to the first count and between counts', () => {
    expect(barsOf(opened, count('07:30', 80), count('08:00', 100))).toEqual([
      [26, 20],
      [27, 20],
      [28, 20],
      [29, 20],
      [30, 10],
      [31, 10],
    ])
  })

  test('without a known opening they are spread from the legal one', () => {
    expect(barsOf(count('07:00', 40))).toEqual([
      [26, 20],
      [27, 20],
    ])
  })

  test('a count that isn’t taken on a quarter gives that quarter its part', () => {
    expect(barsOf(opened, count('07:07:30', 50))).toEqual([
      [26, 20],
      [27, 20],
      [28, 10],
    ])
  })

  test('voters who were counted before the opening stand in their own quarter', () => {
    expect(barsOf(count('06:20', 3))).toEqual([[25, 3]])
  })

  test('a later count that is lower is believed and no bar is negative', () => {
    expect(barsOf(opened, count('07:00', 400), count('07:30', 40), count('08:00', 60))).toEqual([
      [26, 20],
      [27, 20],
      [30, 10],
      [31, 10],
    ])
  })

  test('of two counts in one quarter the later stands', () => {
    expect(sum(barsOf(opened, count('07:01', 10), count('07:10', 25)))).toBe(25)
  })

  test('whatever is counted, bars are whole, positive, in order and sum to the latest count', () => {
    const counts = fc.array(
      fc.record({
        minute: fc.integer({ min: 0, max: 24 * 60 - 1 }),
        checkedIn: fc.integer({ min: 0, max: 3_000 }),
      }),
      { minLength: 1, maxLength: 30 },
    )
    fc.assert(
      fc.property(counts, list => {
        const said = list.map(({ minute, checkedIn }) => {
          const time = `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`
          return says('E-01', '23:59', 'CountsReported', { checkedIn, asOf: iso(time) })
        })
        const day = given(opened, ...said)
        const { bars } = day.row('E-01').strip
        expect(bars.every(([q, n]) => Number.isInteger(n) && n > 0 && q >= 0 && q < 120)).toBe(true)
        expect(bars.map(([q]) => q)).toEqual([...new Set(bars.map(([q]) => q))].sort((a, b) => a - b))
        expect(sum(bars)).toBe(day.row('E-01').checkedIn?.is)
      }),
      { numRuns: 200 },
    )
  })
})
