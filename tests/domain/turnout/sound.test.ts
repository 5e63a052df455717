import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { MINUTE } from '../../../server/domain/time.ts'
import { soundCounts, stuckCount } from '../../../server/domain/turnout/sound.ts'
import { clock, counted } from '../../support/forecastInput.ts'

const sound = (...said: Array<[number, number]>) => soundCounts(counted(...said), 6, clock(7))
const is = (counts: ReadonlyArray<{ is: number }>) => counts.map(c => c.is)

describe('which counts can be true together', () => {
  it('keeps counts that rise, and equal ones', () => {
    expect(sound([8, 100], [9, 200], [10, 200])).toEqual({
      sound: counted([8, 100], [9, 200], [10, 200]),
      faults: [],
    })
  })

  it('names a count that goes back, with the one before it', () => {
    const { sound: kept, faults } = sound([7.5, 50], [8, 100], [9, 20], [10, 300])
    expect(is(kept)).toEqual([50, 100, 300])
    expect(faults).toEqual([{ what: 'back', at: clock(9), is: 20, before: 100 }])
  })

  it('names the high one as a jump when those after it go on from before', () => {
    const { sound: kept, faults } = sound([8, 100], [9, 2_000], [10, 300], [11, 390])
    expect(is(kept)).toEqual([100, 300, 390])
    expect(faults).toEqual([{ what: 'jump', at: clock(9), is: 2_000, before: 100 }])
  })

  it('takes at most what the stations could, and ten people for counts read apart', () => {
    // 61 minutes at 6 a minute and 10: 376.
    expect(sound([8, 376]).faults).toEqual([])
    expect(sound([8, 377]).faults).toEqual([{ what: 'jump', at: clock(8), is: 377, before: 0 }])
  })

  it('believes the later of two that exclude each other: it may be the correction', () => {
    expect(is(sound([8, 200], [8.25, 120]).sound)).toEqual([120])
  })

  it('keeps rising counts only, and every count is either kept or named', () => {
    const counts = fc.array(fc.integer({ min: 0, max: 3_000 }), { maxLength: 30 })
    fc.assert(
      fc.property(counts, list => {
        const said = list.map((n, i) => ({ at: clock(7) + i * 15 * MINUTE, is: n }))
        const { sound: kept, faults } = soundCounts(said, 6, clock(7))
        expect(kept.length + faults.length).toBe(list.length)
        expect(is(kept)).toEqual(is(kept).sort((a, b) => a - b))
      }),
      { seed: 5 },
    )
  })
})

describe('a count that sticks', () => {
  const perHour = (n: number) => (from: number, to: number) => ((to - from) / clock(1)) * n

  it('is named once twelve voters were due since it last moved', () => {
    const said = counted([8, 50], [9, 80], [10, 80])
    expect(stuckCount(said, perHour(12))).toEqual({ what: 'stuck', at: clock(10), is: 80, before: 80 })
    expect(stuckCount(said, perHour(11.9))).toBeNull()
  })

  it('is over when it moves, and nothing where there is none or one', () => {
    expect(stuckCount(counted([8, 50], [9, 50], [10, 51]), perHour(100))).toBeNull()
    expect(stuckCount(counted([8, 50]), perHour(100))).toBeNull()
    expect(stuckCount([], perHour(100))).toBeNull()
  })
})
