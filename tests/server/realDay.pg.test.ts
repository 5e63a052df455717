import { expect, it } from 'vitest'
import { planHash } from '../../server/cli/planFiles.ts'
import { instantOf } from '../../server/domain/plan/zone.ts'
import { MINUTE, toRfc3339 } from '../../server/domain/time.ts'
import { realClock } from '../../server/live/clock.ts'
import { keepDay } from '../../server/openDay.ts'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import { composedSunup } from '../support/runSunup.ts'

it('P6: a real day opens once over many starts; a gap of our own longer than lateness is noted, with a grace', async () => {
  const url = await freshDatabase()
  const plan = aPlan({ kind: 'election' })
  const { lateAfterSeconds, graceSeconds } = plan.policy.heartbeat
  let wall = instantOf(plan.date, '05:00', plan.timeZone)
  /** One start of the server, at the wall clock's time, and its orderly end; the day's entries. */
  const startOnce = async () => {
    const sunup = await composedSunup({ url, wall: () => wall })
    const record = await keepDay(sunup.days, plan, planHash(plan), wall, null)
    const live = await sunup.startDay(
      record,
      realClock(() => wall),
    )
    await live.begin(record.planHash)
    const entries = (await sunup.log.read(record.id, 0, 100)).map(s => s.entry)
    await sunup.stop()
    return entries
  }
  const opened = await startOnce()
  expect(opened.map(e => [e.kind, e.recordedAt])).toEqual([['DayOpened', wall]])

  wall += lateAfterSeconds * 1_000
  expect((await startOnce()).map(e => e.kind)).toEqual(['DayOpened'])

  const lastKnown = opened[0]!.recordedAt
  wall += MINUTE
  const entries = await startOnce()
  expect(entries.map(e => e.kind)).toEqual(['DayOpened', 'ServiceResumed'])
  expect(entries[1]).toMatchObject({
    recordedAt: wall,
    body: { lastKnownAt: toRfc3339(lastKnown), graceUntil: toRfc3339(wall + graceSeconds * 1_000) },
  })
})
