import { describe, expect, it } from 'vitest'
import { happenedAt, skewSeconds } from '../../server/intake/times.ts'
import { practiceClock, realClock } from '../../server/live/clock.ts'

const T0 = Date.parse('2026-11-03T10:00:00Z')

function aClock(speed: number) {
  const hand = { wall: 1_000_000 }
  return { hand, clock: practiceClock(() => hand.wall, T0, speed) }
}

describe('the clock of a practice day', () => {
  it('runs at its speed, and stays continuous where the speed changes', () => {
    const { hand, clock } = aClock(20)
    hand.wall += 3_000
    expect(clock.now()).toBe(T0 + 60_000)
    clock.setSpeed(1)
    hand.wall += 3_000
    expect(clock.now()).toBe(T0 + 63_000)
  })

  it('never goes back, whatever the wall clock does', () => {
    const { hand, clock } = aClock(10)
    hand.wall += 5_000
    const before = clock.now()
    hand.wall -= 60_000
    expect(clock.now()).toBe(before)
    let wall = 5_000
    const real = realClock(() => wall)
    expect(real.now()).toBe(5_000)
    wall = 1_000
    expect(real.now()).toBe(5_000)
  })

  it('counts each stretch by the speed that it had, until the speeds are forgotten', () => {
    const { hand, clock } = aClock(1)
    hand.wall += 10_000
    clock.setSpeed(100)
    hand.wall += 2_000
    clock.setSpeed(1)
    hand.wall += 3_000
    expect(clock.elapsed(2_000)).toBe(2_000)
    expect(clock.elapsed(4_000)).toBe(3_000 + 100_000)
    expect(clock.elapsed(8_000)).toBe(3_000 + 200_000 + 3_000)
    expect(clock.elapsed(60_000)).toBe(3_000 + 200_000 + 55_000)
    clock.forgetSpeeds()
    expect(clock.elapsed(8_000)).toBe(8_000)
  })
})

describe('when a report happened', () => {
  const sending = (sentAt: string | null, speed: number, openedAt = 0) => ({
    sentAt: sentAt === null ? null : Date.parse(sentAt),
    elapsed: (ago: number) => ago * speed,
    openedAt,
  })

  it.each([
    ['a right clock', '2026-11-03T12:00:00Z', '2026-11-03T11:58:00Z'],
    ['a clock years behind', '2001-01-01T00:02:00Z', '2001-01-01T00:00:00Z'],
    ['another offset', '2026-11-03T07:00:00-05:00', '2026-11-03T11:58:00Z'],
  ])('P7: two minutes ago by the device’s own clock is two minutes ago (%s)', (_, sentAt, at) => {
    expect(happenedAt(at, T0, sending(sentAt, 1))).toBe(T0 - 120_000)
    expect(happenedAt(at, T0, sending(sentAt, 30))).toBe(T0 - 120_000 * 30)
  })

  it('P7: never before the day opened, never after it was recorded, and at its recording where unmeasured', () => {
    expect(happenedAt('2026-11-03T01:00:00Z', T0, sending('2026-11-03T12:00:00Z', 1, T0 - 5_000))).toBe(
      T0 - 5_000,
    )
    expect(happenedAt('2026-11-03T13:00:00Z', T0, sending('2026-11-03T12:00:00Z', 1))).toBe(T0)
    expect(happenedAt('2026-11-03T11:00:00Z', T0, sending(null, 1))).toBe(T0)
  })

  it('P7: the skew is measured in seconds where it is a minute or more', () => {
    expect(skewSeconds(T0 + 59_400, T0)).toBe(0)
    expect(skewSeconds(T0 + 3_600_000, T0)).toBe(3_600)
    expect(skewSeconds(T0 - 90_400, T0)).toBe(-90)
    expect(skewSeconds(null, T0)).toBe(0)
  })
})
