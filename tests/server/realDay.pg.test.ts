import { expect, it } from 'vitest'
import { connect } from '../../db/connect.ts'
import { planHash } from '../../server/cli/planFiles.ts'
import { composeSunup } from '../../server/compose.ts'
import { instantOf } from '../../server/domain/plan/zone.ts'
import { MINUTE, toRfc3339 } from '../../server/domain/time.ts'
import { realClock } from '../../server/live/clock.ts'
import { makeLog } from '../../server/log.ts'
import { keepDay } from '../../server/openDay.ts'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'

it('P6: a real day opens once over many starts; a gap of our own longer than lateness is noted, with a grace', async () => {
  const url = await freshDatabase()
  const plan = aPlan({ kind: 'election' })
  const { lateAfterSeconds, graceSeconds } = plan.policy.heartbeat
  let wall = instantOf(plan.date, '05:00', plan.timeZone)
  /** One start of the server, at the wall clock's time, and its orderly end; the day's entries. */
  const startOnce = async () => {
    const sql = connect(url, { max: 4 })
    const sunup = await composeSunup({
      sql,
      settings: {
        tls: null,
        publicUrl: null,
        trustedProxies: 0,
        deviceRate: { perSecond: 20, burst: 5_000 },
        enrolRate: { perAddressPerMinute: 10, inAllPerMinute: 60 },
      },
      logger: makeLog('silent'),
      wall: () => wall,
      pagesFolder: null,
      onAssertion: error => {
        throw error
      },
    })
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
