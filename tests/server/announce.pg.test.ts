import { expect, it } from 'vitest'
import { planHash } from '../../server/cli/planFiles.ts'
import type { NewEntry } from '../../server/domain/log/dayLog.ts'
import { instantOf } from '../../server/domain/plan/zone.ts'
import { MINUTE } from '../../server/domain/time.ts'
import { realClock } from '../../server/live/clock.ts'
import { keepDay } from '../../server/openDay.ts'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import { composedSunup } from '../support/runSunup.ts'

const pause = (ms: number) => new Promise(resolve => setTimeout(resolve, ms))

it('P8: after an outage nothing is judged before the outage itself is in the log, however long that takes', async () => {
  const plan = aPlan({ kind: 'election' })
  let wall = instantOf(plan.date, '07:00', plan.timeZone)
  const sunup = await composedSunup({ url: await freshDatabase(), wall: () => wall })
  const record = await keepDay(sunup.days, plan, planHash(plan), wall, null)
  const said = (precinct: string): NewEntry[] => [
    heard(precinct, 1, 'TeamReported', { present: 8, missing: [] }),
    heard(precinct, 2, 'PollsOpened', {}),
  ]
  const heard = (precinct: string, number: number, kind: string, body: object) =>
    ({
      kind,
      version: 1,
      precinct,
      source: `device:d-${precinct}`,
      number,
      occurredAt: wall,
      origin: { via: 'device' },
      body,
    }) as unknown as NewEntry
  const opened = { kind: 'DayOpened', version: 1, precinct: null, source: 'system', number: null } as const
  await sunup.log.decide(record.id, now => ({
    entries: [
      {
        ...opened,
        occurredAt: now,
        origin: { via: 'system' },
        body: { planHash: record.planHash, kind: 'election' },
      } as NewEntry,
      ...said('E-01'),
      ...said('E-02'),
      ...said('E-03'),
    ],
    result: null,
  }))
  const before = (await sunup.log.head(record.id)).position

  // We were gone for twenty minutes: by the log alone every precinct would be silent now.
  wall += 20 * MINUTE
  const live = await sunup.startDay(
    record,
    realClock(() => wall),
  )
  await pause(900)
  expect((await sunup.log.head(record.id)).position).toBe(before)
  await live.begin(record.planHash)
  await pause(900)
  const after = (await sunup.log.read(record.id, before, 100)).map(s => s.entry)
  expect(after[0]!.kind).toBe('ServiceResumed')
  expect(after.map(e => e.kind)).not.toContain('PrecinctFellSilent')

  // The grace over, each is silent once, as of the end of the grace; and our own link is the first reason.
  const graceUntil = wall + plan.policy.heartbeat.graceSeconds * 1_000
  // In steps: a clock that jumps by more is an outage of ours again.
  while (wall < graceUntil) {
    wall += 20_000
    await pause(300)
  }
  await pause(1_500)
  const later = (await sunup.log.read(record.id, before + after.length, 100)).map(s => s.entry)
  const fell = later.filter(e => e.kind === 'PrecinctFellSilent')
  expect(fell.map(e => [e.precinct, e.occurredAt]).sort()).toEqual([
    ['E-01', graceUntil],
    ['E-02', graceUntil],
    ['E-03', graceUntil],
  ])
  expect(later.find(e => e.kind === 'ReasonRaised')?.body).toMatchObject({ rule: 'own-link' })
  await sunup.stop()
})
