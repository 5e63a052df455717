import { describe, expect, test } from 'vitest'
import { at, desk, given, iso, says, system } from '../../support/given.ts'

describe('what the office heard', () => {
  test('P6 heard is when the office recorded it, not when it happened', () => {
    const day = given(says('E-01', '08:00', 'LineReported', { inLine: 3 }, { recorded: '09:10' }))
    expect(day.p('E-01').heardAt).toBe(at('09:10'))
  })

  test('a caller and a paper count as heard; what the desk or the system wrote doesn’t', () => {
    const caller = says('E-01', '08:00', 'LineReported', { inLine: 3 }, { via: 'caller' })
    const paper = says('E-01', '08:00', 'LineReported', { inLine: 3 }, { via: 'paper', recorded: '08:20' })
    expect(given(caller).p('E-01').heardAt).toBe(at('08:00'))
    expect(given(caller, paper).p('E-01').heardAt).toBe(at('08:20'))
    expect(given(caller).p('E-01').device).toBeNull()
    const others = given(
      desk('E-01', '08:30', 'CallTaken', {}),
      system('E-01', '08:31', 'DeviceEnrolled', { device: 'd-E-01' }),
    )
    expect(others.p('E-01').heardAt).toBeNull()
    expect(others.standing('E-01')).toBe('not-heard')
  })

  test('unchanged heartbeats are heard by the list of the minute', () => {
    const day = given(
      system(null, '06:01', 'DevicesHeard', { heard: { 'E-01': iso('06:00:40'), 'E-77': iso('06:00:41') } }),
    )
    expect(day.p('E-01').heardAt).toBe(at('06:00:40'))
    expect(day.p('E-01').touchedAt).toBe(1)
    expect(day.p('E-02').heardAt).toBeNull()
  })

  test('the device shows its charge, what waits and how far its clock is off', () => {
    const day = given(
      says('E-01', '06:00', 'HeartbeatReceived', { device: { battery: 80, charging: false, waiting: 3 } }),
      says('E-01', '06:10', 'HeartbeatReceived', { device: { battery: 78 } }, { skewSeconds: -3_600 }),
    )
    expect(day.row('E-01').device).toEqual({
      id: 'd-E-01',
      battery: 78,
      charging: false,
      waiting: 3,
      skewSeconds: -3_600,
    })
  })

  test('of two devices the one heard last is shown, with its own charge', () => {
    const a = says('E-01', '06:00', 'HeartbeatReceived', { device: { battery: 80 } }, { device: 'a' })
    const b = says('E-01', '06:10', 'LineReported', { inLine: 3 }, { device: 'b' })
    const again = says('E-01', '06:20', 'LineReported', { inLine: 4 }, { device: 'a' })
    expect(given(a, b).row('E-01').device).toMatchObject({ id: 'b', battery: null })
    expect(given(a, b, again).row('E-01').device).toMatchObject({ id: 'a', battery: 80 })
  })

  test('a revoked or replaced device is shown no more', () => {
    const a = says('E-01', '06:00', 'HeartbeatReceived', { device: { battery: 80 } }, { device: 'a' })
    const revoked = system('E-01', '06:05', 'DeviceRevoked', { device: 'a' })
    const replaced = system('E-01', '06:05', 'DeviceEnrolled', { device: 'b', replaces: 'a' })
    expect(given(a, revoked).row('E-01').device).toBeNull()
    expect(given(a, replaced).row('E-01').device?.id).toBe('b')
  })
})
