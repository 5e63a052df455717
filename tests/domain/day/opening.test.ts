import { describe, expect, test } from 'vitest'
import { fold } from '../../../server/domain/day/fold.ts'
import { initialDay } from '../../../server/domain/day/initial.ts'
import type { Entry } from '../../../server/domain/log/entry.ts'
import { indexOf } from '../../../server/domain/plan/brief.ts'
import { devicePlanOf } from '../../../server/live/devicePlan.ts'
import { aPlan, DAY } from '../../support/aPlan.ts'
import { at, given, iso, opening, says } from '../../support/given.ts'

describe('opening steps', () => {
  test('a team’s report completes the team’s step at its earliest', () => {
    const day = given(
      says('E-01', '05:50', 'TeamReported', { present: 8, missing: [] }),
      says('E-01', '05:40', 'TeamReported', { present: 6, missing: [{ role: 'greeter', howMany: 2 }] }),
    )
    expect(day.p('E-01').steps).toEqual({ team: at('05:40') })
    expect(day.row('E-01').team).toEqual({ present: 8, missing: 0, asOf: at('05:50') })
  })

  test('a step keeps its earliest instant', () => {
    const day = given(
      says('E-01', '06:00', 'StepCompleted', { step: 'ballots' }),
      says('E-01', '05:55', 'StepCompleted', { step: 'ballots' }, { via: 'caller' }),
      says('E-01', '06:10', 'StepCompleted', { step: 'ballots' }),
    )
    expect(day.p('E-01').steps.ballots).toBe(at('05:55'))
  })

  test('a step that the plan doesn’t know is left aside', () => {
    const day = given(says('E-01', '06:00', 'StepCompleted', { step: 'coffee' }))
    expect(day.p('E-01').steps).toEqual({})
    expect(day.p('E-01').heardAt).toBe(at('06:00'))
  })

  test('seals are compared when the last planned container is recorded, and not while one of them is wrong', () => {
    const box = says('E-01', '05:50', 'SealRecorded', {
      container: 'box',
      found: 'S-01-box',
      state: 'intact',
    })
    const door = says('E-01', '05:52', 'SealRecorded', { container: 'door', found: 'X-9', state: 'broken' })
    expect(given(box).p('E-01').steps.seals).toBeUndefined()
    expect(given(box, door).p('E-01').steps.seals).toBeUndefined()
    const step = says('E-01', '05:53', 'StepCompleted', { step: 'seals', byTwo: true })
    expect(given(box, door, step).p('E-01').steps.seals).toBeUndefined()
    const reread = says('E-01', '05:58', 'SealRecorded', {
      container: 'door',
      found: 'S-01-door',
      state: 'intact',
    })
    const opened = says('E-01', '06:28', 'PollsOpened', {})
    const late = says('E-01', '19:45', 'SealRecorded', {
      container: 'door',
      found: 'X-9',
      state: 'intact',
      act: 'removed',
    })
    for (const order of [
      [box, door, reread, late, opened],
      [opened, late, reread, door, box],
    ])
      expect(given(...order).p('E-01').steps.seals).toBe(at('05:52'))
    expect(given(box, door, opened).p('E-01').steps.seals).toBeUndefined()
    expect(given(door, box).p('E-01').seals.door?.is).toEqual({ found: 'X-9', state: 'broken' })
  })

  test('a seal that is there only in the evening keeps no opening step waiting', () => {
    const plan = aPlan()
    plan.seals.push({ precinct: 'E-01', container: 'bag', number: 'S-01-bag', phase: 'closing' })
    const index = indexOf(plan, DAY)
    expect(index.precincts.get('E-01')!.seals.get('bag')).toBe('S-01-bag')
    const recorded = ['box', 'door'].map((container, i) => ({
      ...says('E-01', '05:50', 'SealRecorded', { container, found: `S-01-${container}`, state: 'intact' }),
      position: i + 1,
      number: i + 1,
    }))
    const p = fold(initialDay(DAY, index), recorded as Entry[], index).precincts.get('E-01')!
    expect(p.steps.seals).toBe(at('05:50'))
    expect(devicePlanOf(p, index, DAY, [])!.containers).toEqual(['box', 'door'])
  })

  test('a seal recorded again is the later finding, and the step stays at the first', () => {
    const day = given(
      says('E-01', '05:50', 'SealRecorded', { container: 'box', found: 'wrong', state: 'intact' }),
      says('E-01', '05:52', 'SealRecorded', { container: 'door', found: 'S-01-door', state: 'intact' }),
      says('E-01', '05:58', 'SealRecorded', { container: 'box', found: 'S-01-box', state: 'intact' }),
    )
    expect(day.p('E-01').seals.box?.is.found).toBe('S-01-box')
    expect(day.p('E-01').steps.seals).toBe(at('05:52'))
  })

  test('the tape’s step waits for every tabulator', () => {
    const left = says('E-02', '06:00', 'OpeningTapeVerified', { tabulator: 'T-02' })
    const right = says('E-02', '06:09', 'OpeningTapeVerified', { tabulator: 'T-12' })
    expect(given(left).p('E-02').steps.tape).toBeUndefined()
    expect(given(left).row('E-02').tape).toBe('none')
    expect(given(left, right).p('E-02').steps.tape).toBe(at('06:09'))
    expect(given(left, right).row('E-02').tape).toBe('verified')
  })

  test('a rejected tape takes the step back until it is verified', () => {
    const verified = says('E-01', '06:00', 'OpeningTapeVerified', { tabulator: 'T-01' })
    const rejected = says('E-01', '06:05', 'OpeningTapeRejected', {
      tabulator: 'T-01',
      problems: ['public-count'],
    })
    const again = says('E-01', '06:12', 'OpeningTapeVerified', { tabulator: 'T-01' })
    const day = given(verified, rejected)
    expect(day.p('E-01').steps.tape).toBeUndefined()
    expect(day.row('E-01').tape).toBe('rejected')
    expect(day.p('E-01').tapes['T-01']?.is.problems).toEqual(['public-count'])
    expect(given(verified, rejected, again).p('E-01').steps.tape).toBe(at('06:00'))
    expect(given(verified, rejected, again).row('E-01').tape).toBe('verified')
  })

  test('a rejected tape takes the step back also where somebody said it was done', () => {
    const said = says('E-01', '06:01', 'StepCompleted', { step: 'tape' })
    const rejected = says('E-01', '06:05', 'OpeningTapeRejected', {
      tabulator: 'T-01',
      problems: ['not-zero'],
    })
    expect(given(said).p('E-01').steps.tape).toBe(at('06:01'))
    expect(given(said, rejected).p('E-01').steps.tape).toBeUndefined()
  })

  test('a heartbeat that says no more than rejected keeps the problems that were named', () => {
    const day = given(
      says('E-01', '06:05', 'OpeningTapeRejected', { tabulator: 'T-01', problems: ['not-zero'] }),
      says('E-01', '06:06', 'HeartbeatReceived', {
        status: { tape: { is: 'rejected', tabulator: 'T-01', asOf: iso('06:05:01') } },
      }),
    )
    expect(day.p('E-01').tapes['T-01']?.is).toEqual({ is: 'rejected', problems: ['not-zero'] })
  })

  test('the tape of a tabulator that took another’s place counts for it', () => {
    const day = given(
      says('E-01', '06:00', 'OpeningTapeRejected', { tabulator: 'T-01', problems: ['not-printed'] }),
      says('E-01', '06:10', 'EquipmentReplaced', { equipment: 'T-01', by: 'T-99' }),
      says('E-01', '06:20', 'OpeningTapeVerified', { tabulator: 'T-99' }),
    )
    expect(day.row('E-01').tape).toBe('verified')
    expect(day.p('E-01').steps.tape).toBe(at('06:20'))
  })

  test('the next step is the first whose needs are met', () => {
    expect(given().row('E-01').opening).toEqual({ done: 0, of: 7, next: 'team' })
    const day = given(
      says('E-01', '05:40', 'TeamReported', { present: 8, missing: [] }),
      says('E-01', '05:41', 'StepCompleted', { step: 'ballots' }),
    )
    expect(day.row('E-01').opening).toEqual({ done: 2, of: 7, next: 'seals' })
    expect(given(...opening()).row('E-01').opening).toEqual({ done: 7, of: 7, next: null })
  })

  test('a name that every object has by nature is no tape, no seal and no step', () => {
    const day = given(
      says('E-01', '06:00', 'OpeningTapeVerified', { tabulator: 'constructor' }),
      says('E-01', '06:01', 'SealRecorded', { container: 'toString', found: '1', state: 'intact' }),
      says('E-01', '06:02', 'StepCompleted', { step: 'valueOf' }),
      says('E-01', '06:03', 'EquipmentReplaced', { equipment: 'hasOwnProperty', by: 'constructor' }),
    )
    expect(day.row('E-01').opening.done).toBe(0)
    expect(day.p('E-01').tapes.constructor).toMatchObject({ is: { is: 'verified' }, verifiedAt: at('06:00') })
  })
})
