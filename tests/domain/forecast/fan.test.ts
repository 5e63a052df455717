import { describe, expect, it } from 'vitest'
import { fanOf } from '../../../server/domain/forecast/fan.ts'
import { HOUR, MINUTE } from '../../../server/domain/time.ts'

/** Ten voters in each quarter hour from 6:30 to 19:30, of 520. */
const flat = Array.from({ length: 120 }, (_, q) => (q >= 26 && q < 78 ? 1 / 52 : 0))
const at = (hour: number, minute = 0) => hour * HOUR + minute * MINUTE
const interval = { total: 520, low80: 460, high80: 580, low95: 430, high95: 620 }

describe('the fan of voters to come', () => {
  it('opens from the latest count to the interval at closing, by the profile', () => {
    const fan = fanOf(flat, 0, { at: at(13), is: 260 }, at(19, 30), interval)
    expect(fan[0]).toEqual({ at: at(13), middle: 260, low: 260, high: 260 })
    expect(fan.at(-1)).toEqual({ at: at(19, 30), middle: 520, low: 460, high: 580 })
    // Half of what is left of a flat day: half of each end's way.
    expect(fan.find(p => p.at === at(16, 15))).toEqual({ at: at(16, 15), middle: 390, low: 360, high: 420 })
  })

  it('has a point at each quarter hour, the first at the count’s own instant', () => {
    const fan = fanOf(flat, 0, { at: at(18, 40), is: 500 }, at(19, 30), interval)
    expect(fan.map(p => p.at)).toEqual([at(18, 40), at(18, 45), at(19), at(19, 15), at(19, 30)])
  })

  it('never falls below what has come, though the low end lies there', () => {
    const fan = fanOf(flat, 0, { at: at(19), is: 505 }, at(19, 30), interval)
    expect(fan.map(p => p.low)).toEqual([505, 505, 505])
  })

  it('is empty where nobody is left to come', () => {
    expect(fanOf(flat, 0, { at: at(19, 30), is: 520 }, at(19, 30), interval)).toEqual([])
    expect(fanOf(flat, 0, { at: at(20), is: 520 }, at(19, 30), interval)).toEqual([])
    expect(fanOf(flat, 0, { at: at(19, 40), is: 520 }, at(22), interval)).toEqual([])
  })
})
