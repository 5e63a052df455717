import { describe, expect, it } from 'vitest'
import { MINUTE } from '../../../server/domain/time.ts'
import { aPlan } from '../../support/aPlan.ts'
import { at, type given, givenPlan, opening, says, system } from '../../support/given.ts'
import { endedIn, judging, more, raisedIn } from './judging.ts'

/** Team due 5:30, polls 6:30 to 19:30; usual ready time 5:58 (team 5, seals 5, box 4, tabulator 6, tape 8). */
const present = (time: string, missing: Array<{ role: string; howMany: number }> = []) =>
  says('E-01', time, 'TeamReported', { present: 8, missing })
/** Alone in the county, so nobody else's reasons stand in the way. */
const alone = (...said: Parameters<typeof given>) => {
  const plan = aPlan()
  return givenPlan(
    {
      ...plan,
      precincts: plan.precincts.slice(0, 1),
      equipment: plan.equipment.slice(0, 3),
      seals: plan.seals.slice(0, 2),
    },
    ...said,
  )
}
const heartbeat = (time: string) => says('E-01', time, 'HeartbeatReceived', { device: { waiting: 0 } })

describe('not heard', () => {
  it('is raised 20 minutes after reporting time, not a millisecond before', () => {
    const judged = judging(alone())
    expect(judged.at(at('05:50') - 1)).toEqual([])
    expect(raisedIn(judged.at('05:50'))).toEqual([{ key: 'not-heard:E-01', at: at('05:50') }])
    expect(judged.at('05:50')).toEqual([])
  })

  it('occurred at the predicted instant however late somebody looks', () => {
    expect(raisedIn(judging(alone()).at('06:10'))).toEqual([{ key: 'not-heard:E-01', at: at('05:50') }])
  })

  it('ends after its hold when the precinct is heard, by telephone too', () => {
    const day = alone()
    const judged = judging(day)
    judged.at('05:50')
    more(day, says('E-01', '05:55', 'TeamReported', { present: 8, missing: [] }, { via: 'caller' }))
    expect(endedIn(judged.at('05:55'))).toEqual([])
    expect(endedIn(judged.at(at('05:57') - 1))).toEqual([])
    expect(endedIn(judged.at('05:57'))).toEqual([{ key: 'not-heard:E-01', at: at('05:57') }])
  })

  it('is the only reason of a precinct that was never heard, until the legal hour adds not open', () => {
    const judged = judging(alone())
    judged.at('06:29:59')
    expect(judged.stands('E-01')).toEqual(['not-heard:E-01'])
    judged.at('06:30')
    expect(judged.stands('E-01')).toEqual(['not-heard:E-01', 'not-open:E-01'])
  })

  it('waits for the grace after an outage of our own', () => {
    const day = alone(
      system(null, '05:49', 'ServiceResumed', {
        lastKnownAt: '2026-11-03T10:40:00Z',
        graceUntil: '2026-11-03T10:52:00Z',
      }),
    )
    const judged = judging(day)
    expect(judged.at(at('05:52') - 1)).toEqual([])
    expect(raisedIn(judged.at('05:53'))).toEqual([{ key: 'not-heard:E-01', at: at('05:52') }])
  })
})

describe('team short', () => {
  it('is raised when it has been so for its two minutes, and ends when the roles are filled', () => {
    const day = alone(present('05:35', [{ role: 'greeter', howMany: 2 }]))
    const judged = judging(day)
    expect(judged.at(at('05:37') - 1)).toEqual([])
    expect(raisedIn(judged.at('05:37'))).toEqual([{ key: 'team-short:E-01', at: at('05:37') }])
    expect(day.p('E-01').reasons['team-short:E-01']!.evidence).toMatchObject({
      short: 2,
      missing: ['2 × greeter'],
    })
    more(day, present('05:38'))
    judged.at('05:38')
    expect(endedIn(judged.at('05:40'))).toEqual([{ key: 'team-short:E-01', at: at('05:40') }])
  })

  it('is never raised where it did not last its delay', () => {
    const day = alone(present('05:35', [{ role: 'clerk', howMany: 1 }]), present('05:36'))
    expect(raisedIn(judging(day).at('05:40'))).toEqual([])
  })
})

describe('behind on opening', () => {
  it('is raised 12 minutes behind plus two of delay, by the most overdue step', () => {
    const day = alone(present('05:33'), heartbeat('05:50'))
    const judged = judging(day)
    // Seals are usually compared 10 minutes after reporting time: 5:40, and 5:52 is 12 minutes behind.
    expect(raisedIn(judged.at(at('05:54') - 1))).toEqual([])
    expect(raisedIn(judged.at('05:54'))).toEqual([{ key: 'behind-on-opening:E-01', at: at('05:54') }])
    expect(day.p('E-01').reasons['behind-on-opening:E-01']!.evidence).toMatchObject({
      minutesBehind: 14,
      step: 'seals',
      done: 1,
      of: 7,
    })
  })

  it('stays between its two thresholds, and ends under the lower one', () => {
    const day = alone(present('05:33'), heartbeat('05:50'))
    const judged = judging(day)
    judged.at('05:54')
    for (const container of ['box', 'door'])
      more(
        day,
        says('E-01', '05:54', 'SealRecorded', { container, found: `S-01-${container}`, state: 'intact' }),
      )
    more(day, says('E-01', '05:54', 'StepCompleted', { step: 'ballots' }))
    more(day, says('E-01', '05:54', 'StepCompleted', { step: 'roster' }))
    more(day, says('E-01', '05:54', 'StepCompleted', { step: 'box' }), heartbeat('05:55'))
    // The box came 10 minutes late (usually 5:44): between 5 and 12.
    judged.at('05:55')
    expect(endedIn(judged.at('05:58'))).toEqual([])
    more(day, says('E-01', '05:54:30', 'StepCompleted', { step: 'tabulator' }), heartbeat('05:58'))
    // The tabulator came 4.5 minutes late, and the tape is usually done at 5:58.
    judged.at('05:58')
    expect(endedIn(judged.at('06:00'))).toEqual([{ key: 'behind-on-opening:E-01', at: at('06:00') }])
  })

  it('is not raised between its thresholds', () => {
    const day = alone(present('05:33'), heartbeat('05:51'))
    expect(raisedIn(judging(day).at('05:51:59'))).toEqual([])
  })

  it('gives way to not open at the legal hour', () => {
    const day = alone(present('05:33'), heartbeat('05:53'), heartbeat('06:29'))
    const judged = judging(day)
    judged.at('05:55')
    judged.at('06:29:59')
    expect(judged.stands('E-01')).toEqual(['behind-on-opening:E-01'])
    judged.at('06:30')
    judged.at('06:32')
    expect(judged.stands('E-01')).toEqual(['not-open:E-01'])
  })
})

describe('not open', () => {
  it('is raised at the legal hour, not a millisecond before, and ends at once when the polls open', () => {
    const day = alone(...opening(), heartbeat('06:28'))
    const judged = judging(day)
    expect(judged.at(at('06:30') - 1)).toEqual([])
    expect(raisedIn(judged.at('06:30'))).toEqual([{ key: 'not-open:E-01', at: at('06:30') }])
    more(day, says('E-01', '06:32', 'PollsOpened', {}))
    expect(endedIn(judged.at('06:32'))).toEqual([{ key: 'not-open:E-01', at: at('06:32') }])
  })

  it('is not raised where the polls are open', () => {
    const day = alone(...opening(), says('E-01', '06:29', 'PollsOpened', {}))
    expect(raisedIn(judging(day).at('06:30'))).toEqual([])
  })

  it('is raised when voting is suspended, and ends when it goes on', () => {
    const day = alone(
      says('E-01', '06:29', 'PollsOpened', {}),
      says('E-01', '10:12', 'PollsSuspended', { cause: 'power' }),
    )
    const judged = judging(day)
    expect(raisedIn(judged.at('10:12'))).toEqual([{ key: 'not-open:E-01', at: at('10:12') }])
    more(day, says('E-01', '10:20', 'PollsResumed', {}))
    expect(endedIn(judged.at('10:20'))).toEqual([{ key: 'not-open:E-01', at: at('10:20') }])
  })

  it('puts at risk everybody who arrives from the legal hour to the horizon, waiting half the time', () => {
    const day = alone()
    judging(day).at('06:30')
    // By the profile 100 voters an hour come of the day's 1,000: 100 × 60 ÷ 2.
    expect(day.p('E-01').reasons['not-open:E-01']!.voterMinutes).toBe(3_000)
  })

  it('is written again when it has grown by more than a quarter, and not within five minutes', () => {
    const day = alone()
    const judged = judging(day)
    judged.at('06:30')
    const again: number[] = []
    for (let t = at('06:30') + 1_000; t <= at('07:10'); t += 1_000)
      for (const r of raisedIn(judged.at(t), 'not-open')) again.push((r.at - at('06:30')) / MINUTE)
    // 100 × h² ÷ 2 × 60 with h = hours from the legal hour to the horizon: a quarter more at
    // h = 1.118, and each time again by a factor of the root of 1.25.
    expect(again.map(m => Math.round(m * 10) / 10)).toEqual([7.1, 15, 23.9, 33.8])
    expect(judged.stands('E-01')).toContain('not-open:E-01')
  })
})

describe('opening tape rejected', () => {
  const rejected = says('E-01', '05:50', 'OpeningTapeRejected', { tabulator: 'T-01', problems: ['not-zero'] })

  it('is raised at once, under the tabulator, and stands beside a seal that differs and not open', () => {
    const day = alone(
      rejected,
      says('E-01', '05:51', 'SealRecorded', { container: 'box', found: 'S-99', state: 'intact' }),
    )
    const judged = judging(day)
    expect(raisedIn(judged.at('05:51'), 'tape-rejected')).toEqual([
      { key: 'tape-rejected:E-01:T-01', at: at('05:50') },
    ])
    more(day, heartbeat('06:29'))
    judged.at('06:30')
    expect(judged.stands('E-01')).toEqual(
      expect.arrayContaining(['not-open:E-01', 'seal-different:E-01:box', 'tape-rejected:E-01:T-01']),
    )
  })

  it.each([
    ['verified', says('E-01', '05:59', 'OpeningTapeVerified', { tabulator: 'T-01' })],
    ['replaced', says('E-01', '05:59', 'EquipmentReplaced', { equipment: 'T-01', by: 'T-99' })],
  ])('ends when the tabulator is %s', (_, mended) => {
    const day = alone(rejected)
    const judged = judging(day)
    judged.at('05:50')
    more(day, mended)
    expect(endedIn(judged.at('05:59')).map(e => e.key)).toContain('tape-rejected:E-01:T-01')
  })

  it('says what is so a minute later when the slot was opened', () => {
    const day = alone(rejected)
    const judged = judging(day)
    judged.at('05:50')
    more(day, says('E-01', '05:50:10', 'EmergencySlotOpened', {}))
    expect(raisedIn(judged.at('05:50:59'), 'tape-rejected')).toEqual([])
    expect(raisedIn(judged.at('05:51'), 'tape-rejected')).toHaveLength(1)
    expect(day.p('E-01').reasons['tape-rejected:E-01:T-01']!.evidence.slotOpen).toBe(true)
  })
})

describe('seal different', () => {
  const seal = (found: string, state: 'intact' | 'broken' | 'missing' = 'intact', time = '05:42') =>
    says('E-01', time, 'SealRecorded', { container: 'box', found, state })

  it.each([
    ['another number', seal('S-99')],
    ['broken', seal('S-01-box', 'broken')],
    ['missing', seal('none', 'missing')],
  ])('is raised at once: %s', (_, finding) => {
    expect(raisedIn(judging(alone(finding)).at('05:42'))).toEqual([
      { key: 'seal-different:E-01:box', at: at('05:42') },
    ])
  })

  it('is not raised for the planned number, however it is spaced or written', () => {
    expect(raisedIn(judging(alone(seal(' s-01 -BOX'))).at('05:45'))).toEqual([])
  })

  it('is not raised for a container that the plan has no number for, unless it is not whole', () => {
    const other = (state: 'intact' | 'broken') =>
      says('E-01', '05:42', 'SealRecorded', { container: 'bag', found: 'X1', state })
    expect(raisedIn(judging(alone(other('intact'))).at('05:45'))).toEqual([])
    expect(raisedIn(judging(alone(other('broken'))).at('05:45'))).toHaveLength(1)
  })

  it('ends when it is recorded anew and right, and stands after closing until then', () => {
    const day = alone(seal('S-99'), says('E-01', '19:40', 'PollsClosed', {}))
    const judged = judging(day)
    judged.at('19:41')
    expect(judged.stands('E-01')).toEqual(['seal-different:E-01:box'])
    more(day, seal('S-01-box', 'intact', '19:50'))
    expect(endedIn(judged.at('19:50'))).toEqual([{ key: 'seal-different:E-01:box', at: at('19:50') }])
  })
})
