import { describe, expect, test } from 'vitest'
import { downSince } from '../../../server/domain/day/evolveEquipment.ts'
import { at, given, iso, says } from '../../support/given.ts'

const down = says('E-01', '09:12', 'EquipmentWentDown', { equipment: 'T-01' })
const back = says('E-01', '09:40', 'EquipmentRestored', { equipment: 'T-01' })
const listed = (time: string, tags: string[], asOf = time) =>
  says('E-01', time, 'HeartbeatReceived', { status: { equipmentDown: { is: tags, asOf: iso(asOf) } } })

describe('equipment', () => {
  test('down and back', () => {
    expect(given(down).row('E-01').down).toEqual(['T-01'])
    expect(given(down, back).row('E-01').down).toEqual([])
    expect(given(back, down).row('E-01').down).toEqual([])
  })

  test('a full list says that what isn’t on it works, as of that list', () => {
    expect(given(down, listed('09:30', ['A-01'])).row('E-01').down).toEqual(['A-01'])
    expect(given(down, listed('09:30', [])).p('E-01').down['T-01']?.is.down).toBe(false)
  })

  test('an older list doesn’t bring back what went down after it', () => {
    expect(given(down, listed('09:30', [], '09:00')).row('E-01').down).toEqual(['T-01'])
  })

  test('the list counts also for what becomes known of earlier', () => {
    const early = says('E-01', '08:00', 'EquipmentWentDown', { equipment: 'A-01' }, { recorded: '10:00' })
    expect(given(listed('09:30', []), early).row('E-01').down).toEqual([])
  })

  test('it is down since the first of the words that said so', () => {
    const day = given(down, listed('09:14', ['T-01'], '09:12:01'), listed('09:20', ['T-01', 'A-01']))
    expect(downSince(day.p('E-01'), 'T-01')).toBe(at('09:12'))
    expect(downSince(day.p('E-01'), 'A-01')).toBe(at('09:20'))
    expect(downSince(given(down, back).p('E-01'), 'T-01')).toBeNull()
  })

  test('down again after it came back is a new beginning', () => {
    const again = says('E-01', '11:00', 'EquipmentWentDown', { equipment: 'T-01' })
    expect(downSince(given(down, back, again).p('E-01'), 'T-01')).toBe(at('11:00'))
  })

  test('what was replaced is out of use', () => {
    const day = given(down, says('E-01', '09:50', 'EquipmentReplaced', { equipment: 'T-01', by: 'T-99' }))
    expect(day.row('E-01').down).toEqual([])
    expect(day.p('E-01').replaced).toEqual({ 'T-01': 'T-99' })
  })

  test('two that replaced one another in a ring are no endless chain', () => {
    const day = given(
      says('E-01', '09:00', 'EquipmentReplaced', { equipment: 'T-01', by: 'T-99' }),
      says('E-01', '09:30', 'EquipmentReplaced', { equipment: 'T-99', by: 'T-01' }),
    )
    expect(day.row('E-01').tape).toBe('none')
  })

  test('a tabulator that was down is one stretch of the strip, said once or twice', () => {
    const day = given(down, listed('09:14', ['T-01'], '09:12:01'), back, listed('09:41', [], '09:40:01'))
    expect(day.row('E-01').strip.spans).toEqual([{ what: 'down', from: at('09:12'), to: at('09:40') }])
  })

  test('an accessible station that is down is no stretch of the strip but stands in the row', () => {
    const day = given(says('E-01', '09:12', 'EquipmentWentDown', { equipment: 'A-01' }))
    expect(day.row('E-01').strip.spans).toEqual([])
    expect(day.row('E-01').down).toEqual(['A-01'])
  })

  test('two tabulators down at once are one stretch', () => {
    const day = given(
      says('E-02', '09:00', 'EquipmentWentDown', { equipment: 'T-02' }),
      says('E-02', '09:10', 'EquipmentWentDown', { equipment: 'T-12' }),
      says('E-02', '09:20', 'EquipmentRestored', { equipment: 'T-02' }),
      says('E-02', '09:30', 'EquipmentRestored', { equipment: 'T-12' }),
    )
    expect(day.row('E-02').strip.spans).toEqual([{ what: 'down', from: at('09:00'), to: at('09:30') }])
  })
})

describe('the emergency slot', () => {
  const open = says('E-01', '09:13', 'EmergencySlotOpened', {})
  const locked = says('E-01', '09:45', 'EmergencySlotLocked', { inSlot: 7 })
  const fed = (time: string, n: number, more = {}) =>
    says('E-01', time, 'SlotBallotsFed', { fed: n, handCounted: 0, handedOver: 0, ...more })

  test('open, then locked with what lies in it', () => {
    expect(given(open).row('E-01')).toMatchObject({ slotOpen: true, inSlot: null })
    const row = given(open, locked).row('E-01')
    expect(row.slotOpen).toBe(false)
    expect(row.inSlot).toEqual({ is: 7, asOf: at('09:45') })
    expect(row.strip.spans).toEqual([{ what: 'slot', from: at('09:13'), to: at('09:45') }])
  })

  test('what was fed, counted by hand or handed over since the count is no longer in it', () => {
    const day = given(open, locked, fed('10:00', 4), fed('10:10', 0, { handCounted: 1, handedOver: 1 }))
    expect(day.row('E-01').inSlot).toEqual({ is: 1, asOf: at('10:10') })
  })

  test('never fewer than none', () => {
    expect(given(locked, fed('10:00', 9)).row('E-01').inSlot?.is).toBe(0)
  })

  test('a count made after the feeding says it all', () => {
    const recount = says('E-01', '10:30', 'CountsReported', { inSlot: 2 })
    expect(given(locked, fed('10:00', 4), recount).row('E-01').inSlot).toEqual({ is: 2, asOf: at('10:30') })
    expect(given(locked, recount, fed('10:00', 4)).row('E-01').inSlot?.is).toBe(2)
    expect(given(recount, fed('10:00', 4), fed('10:40', 1), locked).row('E-01').inSlot?.is).toBe(1)
  })

  test('feeding in the same breath as the count is after it where the device says so', () => {
    expect(given(locked, fed('09:45', 7)).row('E-01').inSlot?.is).toBe(0)
  })

  test('a heartbeat opens and locks it as of its own instant', () => {
    const beat = says('E-01', '09:30', 'HeartbeatReceived', {
      status: { slot: { is: 'open', asOf: iso('09:13') } },
    })
    expect(given(beat).row('E-01').slotOpen).toBe(true)
    expect(given(locked, beat).row('E-01').slotOpen).toBe(false)
  })
})
