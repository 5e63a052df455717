import { describe, expect, it } from 'vitest'
import { dayForecasts } from '../../../server/domain/forecast/day.ts'
import { HOUR } from '../../../server/domain/time.ts'
import { madeDay } from '../../support/manyDays.ts'

/** Chance said, and part of those who came in the next two hours who waited over half an hour. */
type Told = { said: number; was: number }

/** Of made-up days whose arrivals and service are not those that the forecasts assume (manyDays.ts). */
function toldOn(days: number, precincts: number): Told[] {
  const told: Told[] = []
  for (let d = 0; d < days; d++) {
    const made = madeDay(900 + d, precincts)
    for (const hour of [8, 11, 14, 17]) {
      const day = made.dayAt(hour * HOUR)
      const { precincts: forecasts } = dayForecasts(day, 1, made.precinctsAt(day.at))
      for (const [i, { voters }] of made.precincts.entries()) {
        const line = forecasts.get(`M-${i + 1}`)?.line
        const next = voters.filter(v => v.at >= day.at && v.at < day.at + 2 * HOUR)
        if (!line || next.length === 0) continue
        told.push({ said: line.chance, was: next.filter(v => v.waited > 30).length / next.length })
      }
    }
  }
  return told
}

const mean = (list: readonly Told[], of: (told: Told) => number) =>
  list.reduce((sum, told) => sum + of(told), 0) / list.length

describe('chances of a long wait', () => {
  const all = toldOn(6, 50)
  const between = (low: number, high: number) => all.filter(t => t.said >= low && t.said < high)

  it('are what part of the voters then waited that long', () => {
    expect(all.length).toBeGreaterThan(1_000)
    for (const [low, high, off] of [
      [0, 0.05, 0.02],
      [0.05, 0.5, 0.08],
      [0.5, 1.01, 0.15],
    ] as const) {
      const some = between(low, high)
      expect(some.length).toBeGreaterThan(30)
      expect(Math.abs(mean(some, t => t.said) - mean(some, t => t.was))).toBeLessThan(off)
    }
  })

  it('say more than the same chance for everybody: less than two thirds of its squared error', () => {
    const usual = mean(all, t => t.was)
    expect(mean(all, t => (t.said - t.was) ** 2)).toBeLessThan(mean(all, t => (usual - t.was) ** 2) * (2 / 3))
  })
})
