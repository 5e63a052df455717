import { describe, expect, test } from 'vitest'
import { at, desk, given, iso, opening, raised, type Said, says, system } from '../../support/given.ts'

/** A usual precinct at the end of its day: hourly counts, an outage with the slot in use, two calls, its return. */
function wholeDay(): Said[] {
  const said: Said[] = [
    system('E-01', '04:00', 'DeviceEnrolled', { device: 'dev_5f1c09a2b7' }),
    ...opening(),
    says('E-01', '06:30', 'PollsOpened', {}),
  ]
  for (let hour = 7; hour <= 19; hour++) {
    const time = `${String(hour).padStart(2, '0')}:02`
    said.push(
      says('E-01', time, 'CountsReported', {
        checkedIn: (hour - 6) * 71,
        publicCount: { 'T-01': (hour - 6) * 70 },
        inLine: hour % 5,
        spoiled: hour - 6,
        provisional: 3,
        curbside: 1,
        ballotsLeft: 1_200 - (hour - 6) * 73,
      }),
      says('E-01', time, 'HeartbeatReceived', {
        device: { battery: 100 - hour, charging: false, waiting: 0 },
      }),
    )
  }
  said.push(
    says('E-01', '09:12', 'EquipmentWentDown', { equipment: 'T-01' }),
    says('E-01', '09:13', 'EmergencySlotOpened', {}),
    desk('E-01', '09:15', 'CallTaken', {}),
    desk('E-01', '09:18', 'CallLogged', { outcome: 'watching', until: iso('09:40') }),
    says('E-01', '09:41', 'EquipmentRestored', { equipment: 'T-01' }),
    says('E-01', '09:45', 'EmergencySlotLocked', { inSlot: 17 }),
    says('E-01', '10:30', 'SlotBallotsFed', { fed: 16, handCounted: 1, handedOver: 0 }),
    says('E-01', '12:10', 'IncidentNoted', { category: 'access', what: 'ramp blocked' }),
    system('E-01', '14:05', 'PrecinctFellSilent', { heardAt: iso('14:00'), silentAt: iso('14:05') }),
    system('E-01', '14:20', 'PrecinctHeardAgain', { silentSeconds: 900 }),
    desk('E-01', '14:25', 'CallLogged', { outcome: 'solved' }),
    raised('E-01', '19:00', 'long-line', {
      tier: 'now',
      voterMinutes: 900,
      evidence: { inLine: 41, waitMinutes: 33 },
    }),
    says('E-01', '19:31', 'PollsClosed', { stillInLine: 4 }),
    says('E-01', '19:50', 'StepCompleted', { step: 'tape-closed' }),
    says('E-01', '20:05', 'StepCompleted', { step: 'packed' }),
    says('E-01', '20:15', 'ReturnDeparted', {
      carriers: 2,
      items: ['memory', 'ballots'],
      seals: ['R-1', 'R-2'],
    }),
  )
  return said
}

describe('the row of a board', () => {
  test('of a usual precinct with a full day and a standing reason is at most 2 KB of JSON', () => {
    const row = given(...wholeDay()).row('E-01')
    expect(row.strip.bars.length).toBeGreaterThan(45)
    expect(row.reasons).toHaveLength(1)
    const bytes = Buffer.byteLength(JSON.stringify(row))
    expect(bytes).toBeGreaterThan(1_000)
    expect(bytes).toBeLessThanOrEqual(2_048)
  })

  test('shows the day as it went', () => {
    const row = given(...wholeDay()).row('E-01')
    expect(row).toMatchObject({
      standing: 'returning',
      openedAt: at('06:30'),
      closedAt: at('19:31'),
      suspended: false,
      opening: { done: 7, of: 7, next: null },
      closing: { done: 2, of: 2 },
      tape: 'verified',
      checkedIn: { is: 923, asOf: at('19:02') },
      publicCount: { is: 910, asOf: at('19:02') },
      inSlot: { is: 0, asOf: at('10:30') },
      slotOpen: false,
      down: [],
      departedAt: at('20:15'),
      receivedAt: null,
    })
    expect(row.strip.setUpFrom).toBe(at('05:40'))
    expect(row.strip.notches.map(n => (n - at('05:40')) / 60_000)).toEqual([0, 1, 2, 3, 4, 5, 6])
    expect(row.strip.bars.reduce((s, [, n]) => s + n, 0)).toBe(923)
    expect(row.strip.spans.map(s => s.what)).toEqual(['down', 'slot', 'silent'])
    expect(row.strip.marks.map(([what]) => what)).toEqual(['call', 'incident', 'call'])
  })

  test('of a precinct that nothing is known of says so', () => {
    const row = given().row('E-01')
    expect(row).toMatchObject({
      standing: 'not-heard',
      heardAt: null,
      team: null,
      checkedIn: null,
      expectedThen: null,
      publicCount: null,
      inSlot: null,
      device: null,
      reasons: [],
      touchedAt: 0,
    })
    expect(row.strip).toEqual({ setUpFrom: null, notches: [], bars: [], spans: [], marks: [] })
  })

  test('stays small on the worst of days', () => {
    const said = wholeDay()
    for (let i = 0; i < 300; i++) {
      const time = `${String(7 + Math.floor(i / 30)).padStart(2, '0')}:${String((i % 30) * 2).padStart(2, '0')}`
      said.push(
        says('E-01', time, i % 2 ? 'EmergencySlotOpened' : 'EmergencySlotLocked', {}),
        says('E-01', time, 'IncidentNoted', { category: 'other', what: 'again' }),
      )
    }
    const row = given(...said).row('E-01')
    expect(row.strip.spans.length).toBeLessThanOrEqual(14)
    expect(row.strip.marks).toHaveLength(12)
    expect(Buffer.byteLength(JSON.stringify(row))).toBeLessThan(3_072)
  })

  test('is the same for the same state', () => {
    const day = given(...wholeDay())
    expect(day.row('E-01')).toEqual(day.row('E-01'))
  })

  test('keeps the clock’s measured skew on the device, not in any time', () => {
    const day = given(says('E-01', '06:30', 'PollsOpened', {}, { skewSeconds: 7_200 }))
    expect(day.row('E-01').device?.skewSeconds).toBe(7_200)
    expect(day.row('E-01').openedAt).toBe(at('06:30'))
  })
})
