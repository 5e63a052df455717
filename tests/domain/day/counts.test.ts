import { describe, expect, test } from 'vitest'
import { at, given, iso, says } from '../../support/given.ts'

describe('counts', () => {
  test('each count is its own register, as of when it was taken', () => {
    const day = given(
      says('E-01', '09:05', 'CountsReported', { checkedIn: 210, spoiled: 2, asOf: iso('09:00') }),
      says('E-01', '10:05', 'CountsReported', { checkedIn: 300 }),
    )
    expect(day.row('E-01').checkedIn).toEqual({ is: 300, asOf: at('10:05') })
    expect(day.row('E-01').spoiled).toEqual({ is: 2, asOf: at('09:00') })
    expect(day.row('E-01').provisional).toBeNull()
  })

  test('P7 a late backfill lands where it belongs and never overwrites newer news', () => {
    const day = given(
      says('E-01', '09:30', 'CountsReported', { checkedIn: 240 }, { via: 'caller' }),
      says('E-01', '09:05', 'CountsReported', { checkedIn: 200 }, { recorded: '09:50' }),
    )
    expect(day.row('E-01').checkedIn).toEqual({ is: 240, asOf: at('09:30') })
    expect(day.row('E-01').strip.bars.reduce((s, [, n]) => s + n, 0)).toBe(240)
  })

  test('a count that goes backwards is kept as said', () => {
    const day = given(
      says('E-01', '09:00', 'CountsReported', { checkedIn: 500 }),
      says('E-01', '10:00', 'CountsReported', { checkedIn: 50 }),
    )
    expect(day.row('E-01').checkedIn?.is).toBe(50)
  })

  test('a line told by itself and one told with the counts are the same line', () => {
    const told = says('E-01', '09:00', 'LineReported', { inLine: 30, stationsWorking: 2 })
    const counted = says('E-01', '09:10', 'CountsReported', { inLine: 12 })
    const day = given(counted, told)
    expect(day.row('E-01').inLine).toEqual({ is: 12, asOf: at('09:10') })
    expect(day.p('E-01').stationsWorking?.is).toBe(2)
  })

  test('a line may be told as of earlier', () => {
    const day = given(says('E-01', '09:10', 'LineReported', { inLine: 30, asOf: iso('08:00') }))
    expect(day.row('E-01').inLine?.asOf).toBe(at('08:00'))
  })

  test('a heartbeat’s counts go by their own instants and never freshen', () => {
    const day = given(
      says('E-01', '09:00', 'CountsReported', { checkedIn: 210 }),
      says('E-01', '09:30', 'HeartbeatReceived', {
        counts: { checkedIn: { is: 205, asOf: iso('08:58') }, ballotsLeft: { is: 900, asOf: iso('08:58') } },
      }),
    )
    expect(day.row('E-01').checkedIn).toEqual({ is: 210, asOf: at('09:00') })
    expect(day.row('E-01').ballotsLeft).toEqual({ is: 900, asOf: at('08:58') })
  })

  test('public counts are kept for each tabulator and summed, as of the older one', () => {
    const day = given(
      says('E-02', '09:00', 'CountsReported', { publicCount: { 'T-02': 100, 'T-12': 80 } }),
      says('E-02', '10:00', 'CountsReported', { publicCount: { 'T-02': 150 } }),
    )
    expect(day.row('E-02').publicCount).toEqual({ is: 230, asOf: at('09:00') })
  })

  test('a tabulator that takes another’s place starts at 0 and the old one keeps its last', () => {
    const counted = says('E-01', '09:00', 'CountsReported', { publicCount: { 'T-01': 120 } })
    const replaced = says('E-01', '09:30', 'EquipmentReplaced', { equipment: 'T-01', by: 'T-99' })
    const after = says('E-01', '10:00', 'CountsReported', { publicCount: { 'T-99': 40 } })
    expect(given(counted, replaced).p('E-01').publicCounts['T-99']).toMatchObject({
      is: 0,
      asOf: at('09:30'),
    })
    expect(given(counted, replaced).row('E-01').publicCount).toEqual({ is: 120, asOf: at('09:30') })
    expect(given(counted, replaced, after).row('E-01').publicCount).toEqual({ is: 160, asOf: at('10:00') })
    expect(given(after, counted, replaced).row('E-01').publicCount?.is).toBe(160)
  })

  test('another accessible station has no public count', () => {
    const day = given(says('E-01', '09:30', 'EquipmentReplaced', { equipment: 'A-01', by: 'A-99' }))
    expect(day.p('E-01').publicCounts).toEqual({})
  })

  test('a closing tape says the public count at its last', () => {
    const day = given(
      says('E-01', '19:00', 'CountsReported', { publicCount: { 'T-01': 800 } }),
      says('E-01', '19:50', 'ClosingTapeSigned', { tabulator: 'T-01', publicCount: 846 }),
    )
    expect(day.row('E-01').publicCount).toEqual({ is: 846, asOf: at('19:50') })
    expect(day.p('E-01').closingTapes['T-01']?.is).toBe(846)
  })

  test('what was expected stands beside the count, at the count’s own instant', () => {
    const day = given(says('E-01', '09:40', 'CountsReported', { checkedIn: 180, asOf: iso('08:30') }))
    // A fifth of a thousand by 8:30 in the plan's profile.
    expect(day.row('E-01').expectedThen).toBe(200)
  })

  test.each([
    // Published sheets of one North Carolina county: delivered, left, not scanned, scanner (trade facts, 2014–2023).
    [5400, 4256, 6, 1138],
    [3100, 2131, 35, 934],
    [1401, 963, 7, 431],
    [3203, 2685, 6, 512],
  ])('%i delivered, %i left, %i not scanned and %i scanned add up', (delivered, left, inSlot, tabulated) => {
    const body = { delivered, left, tabulated, inSlot, spoiled: 0, provisional: 0, challenged: 0 }
    const said = (b: typeof body) =>
      given(says('E-01', '20:10', 'CountsReconciled', { ...b, checkedIn: tabulated })).p('E-01')
    expect(said(body).reconciled?.is).toMatchObject({ ballots: 0, explained: false })
    expect(said({ ...body, tabulated: tabulated - 1 }).reconciled?.is.ballots).toBe(1)
    expect(said(body).counts.checkedIn?.is).toBe(tabulated)
  })
})
