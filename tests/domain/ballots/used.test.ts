import { describe, expect, it } from 'vitest'
import { votedBetween } from '../../../server/domain/ballots/used.ts'
import { aDayInput, aPrecinctInput, clock, counted } from '../../support/forecastInput.ts'

const day = aDayInput(13)
const input = aPrecinctInput({ counts: counted([10, 300], [12, 500]) })
const total = { total: 1_300, low80: 1_300, high80: 1_300, low95: 1_300, high95: 1_300 }
const outlook = { ...total, came: { is: 500, at: clock(12) }, pace: null, coming: [], logSd: 0 }
const since = (hours: number, profile = day.profile) =>
  votedBetween(day, input, outlook, profile, clock(hours))

describe('who needed a ballot', () => {
  it('is known by the counts, and guessed by the profile since the last', () => {
    expect(since(10)).toEqual({ known: 200, guessed: expect.closeTo(100, 9), waiting: 0 })
    expect(since(11).known).toBeCloseTo(100, 9)
    expect(since(12.5)).toEqual({ known: 0, guessed: expect.closeTo(50, 9), waiting: 0 })
  })

  it('goes by the profile that it is given: the county’s of today', () => {
    // Twice as many at noon as the plan has, and all of the two hours before between eleven and noon.
    const today = day.profile.map((share, q) =>
      q >= 40 && q < 44 ? 0 : q >= 48 && q < 52 ? 2 * share : share,
    )
    expect(since(10, today).guessed).toBeCloseTo(200, 9)
    expect(since(11, today).known).toBeCloseTo(200, 9)
  })

  it('is in line where the guess begins: nobody is counted in line and as an arrival', () => {
    const waiting = (lines: Array<readonly [number, number]>, from = 10) =>
      votedBetween(day, { ...input, lines: counted(...lines) }, outlook, day.profile, clock(from)).waiting
    expect(waiting([[11.75, 30]])).toBe(30)
    expect(
      waiting([
        [11.75, 30],
        [12, 20],
      ]),
    ).toBe(20)
    // Of thirty in line a quarter of an hour after the count 25 came since; of forty an hour after it nothing is known.
    expect(waiting([[12.25, 30]])).toBeCloseTo(5, 9)
    expect(
      waiting([
        [12, 20],
        [12.25, 30],
      ]),
    ).toBe(20)
    expect(waiting([[12.25, 20]])).toBe(0)
    expect(waiting([[13, 140]])).toBe(0)
    expect(waiting([[11.4, 30]])).toBe(0)
    // More than a quarter of the day's voters is a slip.
    expect(waiting([[12, 326]])).toBe(0)
    // Where ballots were counted after the voters, the line at that count.
    expect(
      waiting(
        [
          [11.9, 9],
          [12.5, 30],
        ],
        12.5,
      ),
    ).toBe(30)
    // Never counted: all who came since opening are guessed.
    const never = { ...outlook, came: null }
    const none = aPrecinctInput({ lines: counted([12.9, 30]) })
    expect(votedBetween(day, none, never, day.profile, Number.NEGATIVE_INFINITY)).toEqual({
      known: 0,
      guessed: expect.closeTo(600, 9),
      waiting: 0,
    })
  })
})
