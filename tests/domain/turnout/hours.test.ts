import { describe, expect, it } from 'vitest'
import { closedStretches, heldUp, overlap, profileOfHours } from '../../../server/domain/turnout/hours.ts'
import { shareBy } from '../../../server/domain/turnout/profile.ts'
import { aDayInput, aPrecinctInput, clock, counted } from '../../support/forecastInput.ts'

const day = aDayInput(9)
const waiting = (input: ReturnType<typeof aPrecinctInput>, hours: number) =>
  heldUp(day, input, day.profile, clock(hours))

describe('hours that were extended', () => {
  it('spread the last hour’s voters over it and the time after it, and leave the rest alone', () => {
    const profile = profileOfHours({ ...day, closesAt: clock(21) })
    const share = (hours: number) => shareBy(profile, 0, clock(hours))
    expect(share(19)).toBeCloseTo(12 / 13, 12)
    // Half as many in the hour after as in the one before: two thirds and one third of a thirteenth.
    expect(share(20) - share(19)).toBeCloseTo(2 / 39, 12)
    expect(share(21)).toBeCloseTo(1, 12)
  })

  it('leave the profile as it is where closing stands', () => {
    expect(profileOfHours(day)).toBe(day.profile)
  })
})

describe('people held up by closed polls', () => {
  it('are nobody where polls opened in time', () => {
    expect(waiting(aPrecinctInput(), 9)).toBe(0)
    expect(closedStretches(day, aPrecinctInput(), clock(9))).toEqual([])
  })

  it('wait through a late opening, and are taken by three stations at two a minute', () => {
    const late = aPrecinctInput({ openedAt: clock(8) })
    expect(waiting(late, 7.5)).toBeCloseTo(50, 9)
    expect(waiting(late, 8)).toBeCloseTo(100, 9)
    // A hundred come in an hour, 120 are taken.
    expect(waiting(late, 9)).toBeCloseTo(80, 9)
    expect(waiting(late, 13)).toBeCloseTo(0, 9)
  })

  it('wait through a suspension that goes on, and through one within a quarter hour', () => {
    expect(waiting(aPrecinctInput({ suspended: [{ from: clock(8.5), to: null }] }), 9)).toBeCloseTo(50, 9)
    const short = aPrecinctInput({ suspended: [{ from: clock(8), to: clock(8.125) }] })
    // 25 come in the quarter hour, 15 are taken in its open half.
    expect(waiting(short, 8.25)).toBeCloseTo(10, 9)
  })

  it('are counted as voting from the legal hour on where counts say so and no opening was reported', () => {
    const unsaid = { openedAt: null, counts: counted([8, 100]) }
    expect(waiting(aPrecinctInput(unsaid), 9)).toBe(0)
    expect(waiting(aPrecinctInput({ openedAt: null }), 9)).toBeCloseTo(200, 9)
  })

  it('never counts a stretch beyond the time asked about', () => {
    expect(
      overlap(
        [
          { from: 0, to: 10 },
          { from: 5, to: 20 },
        ],
        0,
        12,
      ),
    ).toBe(12)
    expect(overlap([{ from: 0, to: 10 }], 20, 30)).toBe(0)
  })
})
