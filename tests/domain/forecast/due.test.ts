import { describe, expect, it } from 'vitest'
import { forecastDue, isMaterial } from '../../../server/domain/forecast/due.ts'
import { aPlan } from '../../support/aPlan.ts'
import { at, given, says, system } from '../../support/given.ts'

/** Of a day whose teams report at 5:30, polls open 6:30 to 19:30, returns due at 22:00; three precincts. */
const due = (day: ReturnType<typeof given>, time: string, material = false) =>
  forecastDue(day.state, day.index, at(time), material)
const made = (time: string) => system(null, time, 'ForecastMade', {})
const closed = ['E-01', 'E-02', 'E-03'].map(code => says(code, '19:40', 'PollsClosed', {}))

describe('forecasts are due', () => {
  it('from ten minutes before reporting time', () => {
    expect(due(given(), '05:19:59')).toBe(false)
    expect(due(given(), '05:20')).toBe(true)
  })

  it('a minute after the last, or a quarter of one where something material was said', () => {
    const day = given(made('09:00'))
    expect([due(day, '09:00:59'), due(day, '09:01')]).toEqual([false, true])
    expect([due(day, '09:00:14', true), due(day, '09:00:15', true)]).toEqual([false, true])
  })

  it('once more after the last precinct has closed, then no more', () => {
    const day = given(made('19:30'), ...closed)
    expect(due(day, '19:41')).toBe(true)
    expect(due(given(made('19:30'), ...closed, made('19:41')), '19:50')).toBe(false)
  })

  it('never after returns are due, nor on a day that is closed', () => {
    expect([due(given(made('21:00')), '22:00'), due(given(made('21:00')), '22:00:01')]).toEqual([true, false])
    expect(due(given(system(null, '12:00', 'DayClosed', {})), '12:30')).toBe(false)
  })
})

it('a line, polls, equipment and the slot are material; a count can wait for the minute', () => {
  expect(
    ['LineReported', 'PollsSuspended', 'EquipmentWentDown', 'EmergencySlotOpened'].every(isMaterial),
  ).toBe(true)
  expect(isMaterial('CountsReported')).toBe(false)
})

it('is of the plan that it was written for', () => {
  const { hours } = aPlan()
  expect(hours).toMatchObject({ report: '05:30', open: '06:30', close: '19:30', returnBy: '22:00' })
})
