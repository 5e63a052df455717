import { describe, expect, test } from 'vitest'
import { at, ended, given, iso, raised, says, system } from '../../support/given.ts'

const silent = system('E-01', '09:05', 'PrecinctFellSilent', {
  heardAt: iso('09:00'),
  silentAt: iso('09:05'),
})
const again = system('E-01', '09:20', 'PrecinctHeardAgain', { silentSeconds: 900 })

describe('entries of the system', () => {
  test('P6 a precinct is silent from the instant that policy says until it is heard again', () => {
    expect(given(silent).row('E-01').silentSince).toBe(at('09:05'))
    expect(given(silent).row('E-01').strip.spans).toEqual([{ what: 'silent', from: at('09:05'), to: null }])
    expect(given(silent, again).row('E-01').silentSince).toBeNull()
    expect(given(silent, again).row('E-01').strip.spans).toEqual([
      { what: 'silent', from: at('09:05'), to: at('09:20') },
    ])
  })

  test('P6 silence is recorded once, and heard again without silence is nothing', () => {
    expect(given(silent, silent).p('E-01').silences).toHaveLength(1)
    expect(given(again).p('E-01').silences).toEqual([])
  })

  test('a report doesn’t end a silence by itself: the verdict does', () => {
    expect(given(silent, says('E-01', '09:19', 'LineReported', { inLine: 1 })).row('E-01').silentSince).toBe(
      at('09:05'),
    )
  })

  test('a reason raised again keeps the instant of its first raising', () => {
    const day = given(
      raised('E-01', '09:00', 'long-line', { voterMinutes: 100 }),
      raised('E-01', '09:10', 'long-line', { voterMinutes: 900, tier: 'now', since: iso('08:58') }),
    )
    expect(day.row('E-01').reasons).toEqual([
      {
        key: 'long-line:E-01',
        rule: 'long-line',
        tier: 'now',
        precinct: 'E-01',
        since: at('08:58'),
        raisedAt: at('09:00'),
        figuresAt: at('09:10'),
        voterMinutes: 900,
        evidence: {},
      },
    ])
  })

  test('a reason that ended and is raised anew is a new one', () => {
    const day = given(
      raised('E-01', '09:00', 'silent'),
      ended('E-01', '09:10', 'silent'),
      raised('E-01', '09:30', 'silent'),
    )
    expect(day.row('E-01').reasons[0]?.raisedAt).toBe(at('09:30'))
  })

  test('the county’s own reason stands with the day', () => {
    expect(Object.keys(given(raised(null, '09:00', 'own-link')).state.reasons)).toEqual(['own-link'])
    expect(given(raised(null, '09:00', 'own-link'), ended(null, '09:05', 'own-link')).state.reasons).toEqual(
      {},
    )
  })

  test('after an outage of our own the grace runs until then, and never back', () => {
    const resumed = (time: string, until: string) =>
      system(null, time, 'ServiceResumed', { lastKnownAt: iso(time), graceUntil: iso(until) })
    expect(given(resumed('09:00', '09:03'), resumed('09:01', '09:02')).state.graceUntil).toBe(at('09:03'))
  })

  test('the day opens with its plan and closes', () => {
    const opened = system(null, '05:00', 'DayOpened', { planHash: 'a'.repeat(64), kind: 'election' })
    const day = given(opened)
    expect(day.state).toMatchObject({ planHash: 'a'.repeat(64), kind: 'election', closed: false })
    expect(given(opened, system(null, '23:00', 'DayClosed', {})).state.closed).toBe(true)
  })

  test('entries of a precinct that isn’t in the plan move the cursor and nothing else', () => {
    const before = given().state
    const day = given(
      says('X-99', '06:30', 'PollsOpened', {}),
      raised('X-99', '06:31', 'silent'),
      system('X-99', '06:32', 'DeviceEnrolled', { device: 'd' }),
    )
    expect(day.state.cursor).toBe(3)
    expect(day.state.precincts).toEqual(before.precincts)
    expect(day.state.reasons).toEqual({})
  })
})
