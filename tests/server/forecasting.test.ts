import { describe, expect, it } from 'vitest'
import type { ForecastBase } from '../../server/domain/day/state.ts'
import { dayForecasts } from '../../server/domain/forecast/day.ts'
import type { Forecasts } from '../../server/domain/forecast/forecast.ts'
import { gatherDay, gatherPrecinct } from '../../server/domain/forecast/gather.ts'
import { createForecasting } from '../../server/live/forecasting/forecasting.ts'
import { createLateHashes } from '../../server/live/lateHashes.ts'
import { at, given, says, system } from '../support/given.ts'

/** A forecaster whose every answer waits until a test gives it. */
function making() {
  const asked: Array<{ base: ForecastBase; answer(): void; fail(error: Error): void }> = []
  const clock = { now: 0 }
  const made: number[] = []
  const trouble: unknown[] = []
  const { index } = given()
  const forecasting = createForecasting({
    forecaster: {
      make: base =>
        new Promise<Forecasts>((resolve, reject) => {
          const inputs = [...base.precincts.values()].map(p =>
            gatherPrecinct(p, index.precincts.get(p.code)!, index, base.at),
          )
          const answer = () => resolve(dayForecasts(gatherDay(index, base.at), base.position, inputs))
          asked.push({ base, answer, fail: reject })
        }),
      close: async () => {},
    },
    index,
    monotonic: () => clock.now,
    onMade: ms => made.push(ms),
    onTrouble: error => trouble.push(error),
  })
  return { forecasting, asked, clock, made, trouble }
}

const baseOf = (time: string, ...said: Parameters<typeof given>): ForecastBase =>
  given(...said, system(null, time, 'ForecastMade', {})).state.forecastBase!
const early = baseOf('09:00')
const later = baseOf(
  '09:01',
  says('E-02', '08:30', 'PollsOpened', {}),
  says('E-02', '09:00', 'CountsReported', { checkedIn: 90 }),
)

describe('a day’s forecasts', () => {
  it('are made one at a time, and of those that come meanwhile only the latest', async () => {
    const { forecasting, asked, made } = making()
    forecasting.from(early)
    forecasting.from(baseOf('09:00:20'))
    forecasting.from(later)
    expect(asked.map(a => a.base)).toEqual([early])
    expect([forecasting.latest(), forecasting.free(), forecasting.madeUntil()]).toEqual([
      null,
      false,
      at('09:00'),
    ])
    asked[0]!.answer()
    await expect.poll(() => asked.length).toBe(2)
    expect(asked[1]!.base).toBe(later)
    asked[1]!.answer()
    await forecasting.settled()
    expect(forecasting.latest()?.base).toBe(later)
    expect(made).toHaveLength(2)
    expect(forecasting.madeUntil()).toBe(Number.POSITIVE_INFINITY)
  })

  it('rest twice as long as they took', async () => {
    const { forecasting, asked, clock } = making()
    clock.now = 1_000
    forecasting.from(early)
    clock.now = 1_300
    asked[0]!.answer()
    await forecasting.settled()
    expect(forecasting.free()).toBe(false)
    clock.now = 1_899
    expect(forecasting.free()).toBe(false)
    clock.now = 1_900
    expect(forecasting.free()).toBe(true)
  })

  it('go to boards whole, and then what changed', async () => {
    const { forecasting, asked } = making()
    expect(forecasting.since(0)).toBeNull()
    forecasting.from(early)
    asked[0]!.answer()
    await forecasting.settled()
    const seen = forecasting.version()
    expect(forecasting.since(0)?.precincts.map(p => p.code)).toEqual(['E-01', 'E-02', 'E-03'])
    expect(forecasting.since(seen)).toBeNull()
    forecasting.from(later)
    asked[1]!.answer()
    await forecasting.settled()
    const changed = forecasting.since(seen)!
    expect(changed.position).toBe(later.position)
    expect(changed.precincts.find(p => p.code === 'E-02')?.turnout?.came).toEqual({ is: 90, at: at('09:00') })
  })

  it('tell of one that failed and make the next; after the end nobody is told of anything', async () => {
    const { forecasting, asked, made, trouble } = making()
    forecasting.from(early)
    asked[0]!.fail(new Error('no thread'))
    await forecasting.settled()
    expect(trouble).toMatchObject([{ message: 'no thread' }])
    expect(forecasting.latest()).toBeNull()
    forecasting.from(later)
    forecasting.end()
    asked[1]!.fail(new Error('it was closed'))
    await forecasting.settled()
    forecasting.from(early)
    expect([trouble.length, made.length, asked.length]).toEqual([1, 0, 2])
  })
})

describe('the hashes of the latest entries', () => {
  it('are those of the last so many, and of nothing else', () => {
    const hashes = createLateHashes(4)
    for (let position = 1; position <= 6; position++) hashes.add(position, `h${position}`)
    expect([1, 2, 3, 4, 5, 6, 7, 0].map(hashes.at)).toEqual([null, null, 'h3', 'h4', 'h5', 'h6', null, null])
  })
})
