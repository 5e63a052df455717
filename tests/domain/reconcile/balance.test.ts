import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { balanceOf, worstApart } from '../../../server/domain/reconcile/balance.ts'
import { aPlan, type PlanInput } from '../../support/aPlan.ts'
import { at, type Given, givenPlan, iso, opening, type Said, says } from '../../support/given.ts'

/** E-01: 1,200 ballots for 1,000 voters, one tabulator T-01; E-02 has two, 2,400 ballots for 2,000. */
const counts = (time: string, c: Record<string, unknown>, precinct = 'E-01') =>
  says(precinct, time, 'CountsReported', c as never)
const opened = (precinct = 'E-01') => says(precinct, '06:30', 'PollsOpened', {})
const fed = (howMany: number) => ({ fed: howMany, handCounted: 0, handedOver: 0 })

function balance(said: readonly Said[], precinct = 'E-01', changes: Partial<PlanInput> = {}) {
  const day: Given = givenPlan(aPlan(changes), ...said)
  return balanceOf(day.p(precinct), day.index.precincts.get(precinct)!, day.index)
}

/** Counts of E-01 that add up but for `marking` people with a ballot in their hands. */
function adding(checkedIn: number, marking: number, more: Record<string, unknown> = {}) {
  const [spoiled, provisional] = [4, 2]
  return {
    checkedIn,
    publicCount: { 'T-01': checkedIn - marking - provisional },
    spoiled,
    provisional,
    ballotsLeft: 1_200 - checkedIn - spoiled,
    ...more,
  }
}

describe('the balance of counts', () => {
  it('is not asked before voting, nor while a count that it needs was never said', () => {
    expect(balance([...opening()])).toEqual({ ballots: null, voters: null })
    expect(balance([opened(), counts('08:00', { checkedIn: 50 })])).toEqual({ ballots: null, voters: null })
    const voters = balance([opened(), counts('08:00', { checkedIn: 50, publicCount: { 'T-01': 47 } })])
    expect(voters.ballots).toBeNull()
    expect(voters.voters).toMatchObject({ difference: 3, unexplained: 0 })
    const full = adding(50, 3)
    for (const name of ['spoiled', 'provisional', 'ballotsLeft'] as const) {
      const { [name]: _, ...without } = full
      expect(balance([opened(), counts('08:00', without)]).ballots, name).toBeNull()
    }
  })

  it('explains those still voting by the throughput and the minutes that a ballot takes', () => {
    const said = [opened(), counts('07:30', adding(60, 6)), counts('08:30', adding(120, 6))]
    const { ballots, voters } = balance(said)
    expect(ballots).toMatchObject({ difference: 6, unexplained: 0, at: at('08:30'), low: 0 })
    // One voter a minute for 6⅓ minutes: P(more than 15) is under one in a thousand (Poisson table: 0.0005 over 15), and a fifth unsure.
    expect(ballots!.high).toBeGreaterThan(14)
    expect(ballots!.high).toBeLessThan(20)
    // On the roster or not, the two provisional voters are on one side only: the reading without them stands.
    expect(voters).toMatchObject({ difference: 8, unexplained: 0 })
    expect(ballots!.right.map(p => [p.what, p.is])).toEqual([
      ['tabulated', 112],
      ['in-slot', 0],
      ['provisional', 2],
      ['spoiled', 4],
    ])
  })

  it('does not explain an excess beyond them, nor more cast than checked in', () => {
    const excess = balance([opened(), counts('07:30', adding(60, 6)), counts('08:30', adding(120, 46))])
    expect(excess.ballots!.unexplained).toBeCloseTo(46 - excess.ballots!.high, 9)
    expect(worstApart(excess, 0)!.difference.unexplained).toBeGreaterThan(20)
    expect(worstApart(excess, 40)).toBeNull()
    const over = balance([opened(), counts('08:30', adding(120, 0, { publicCount: { 'T-01': 130 } }))])
    expect(over.voters).toMatchObject({ low: 0, difference: -10, unexplained: -10 })
    expect(worstApart(over, 0)).toEqual({ of: 'voters', difference: over.voters })
  })

  it('takes more ballots than were planned for a delivery, which is not recorded', () => {
    const said = [opened(), counts('08:30', adding(120, 5, { ballotsLeft: 1_176 }))]
    expect(balance(said).ballots!.unexplained).toBeLessThan(-90)
    expect(worstApart(balance(said), 0)).toBeNull()
  })

  it('allows for counts of different minutes, by what was checked in between them', () => {
    const apart = [
      opened(),
      counts('08:30', adding(120, 6)),
      counts('10:30', { checkedIn: 240, publicCount: { 'T-01': 232 }, spoiled: 4, provisional: 2 }),
    ]
    // Ballots left were counted two hours before the rest: 120 voters ago, as the counts themselves have it.
    const { ballots, voters } = balance(apart)
    expect(ballots).toMatchObject({ difference: 124 - 238, at: at('08:30'), unexplained: 0 })
    expect(ballots!.low).toBeCloseTo(-120, 6)
    expect(voters).toMatchObject({ unexplained: 0, at: at('10:30') })
    const wrong = balance([...apart, counts('10:31', { publicCount: { 'T-01': 292 } })])
    expect(wrong.ballots!.unexplained).toBeLessThan(-40)
  })

  it('allows for a tabulator that was read long before the voters were counted', () => {
    const late = [
      opened(),
      counts('07:30', { checkedIn: 60, publicCount: { 'T-01': 55 } }),
      counts('09:30', { checkedIn: 180 }),
    ]
    const { voters } = balance(late)
    expect(voters).toMatchObject({ difference: 125, unexplained: 0, at: at('07:30') })
    expect(voters!.low).toBeCloseTo(120, 6)
  })

  it('adds up all tabulators, and the last count of one that was replaced', () => {
    const two = (left: number, right: number, time = '09:00') =>
      counts(time, { checkedIn: 200, publicCount: { 'T-02': left, 'T-12': right } }, 'E-02')
    expect(balance([opened('E-02'), two(90, 100)], 'E-02').voters).toMatchObject({
      difference: 10,
      unexplained: 0,
    })
    const half = counts('09:00', { checkedIn: 200, publicCount: { 'T-02': 90 } }, 'E-02')
    expect(balance([opened('E-02'), half], 'E-02').voters).toBeNull()
    const replaced = [
      opened('E-02'),
      two(90, 100),
      says('E-02', '09:02', 'EquipmentReplaced', { equipment: 'T-02', by: 'T-77' }),
      counts('10:00', { checkedIn: 300, publicCount: { 'T-77': 45, 'T-12': 152 } }, 'E-02'),
    ]
    const { voters } = balance(replaced, 'E-02')
    expect(voters).toMatchObject({ difference: 300 - 90 - 45 - 152, unexplained: 0 })
    // What went through it after its last count stays unknown, but for those two minutes only.
    expect(voters!.high).toBeLessThan(35)
  })

  it('counts nothing for a tabulator that never worked', () => {
    const said = [
      says('E-02', '06:00', 'OpeningTapeVerified', { tabulator: 'T-02' }),
      says('E-02', '06:00', 'OpeningTapeRejected', { tabulator: 'T-12', problems: ['not-zero'] }),
      opened('E-02'),
      counts('09:00', { checkedIn: 200, publicCount: { 'T-02': 192 } }, 'E-02'),
    ]
    expect(balance(said, 'E-02').voters).toMatchObject({ difference: 8, unexplained: 0 })
  })

  it('counts the slot alone where the only tabulator never worked', () => {
    const said = [
      says('E-01', '06:10', 'OpeningTapeRejected', { tabulator: 'T-01', problems: ['not-zero'] }),
      says('E-01', '06:30', 'PollsOpened', { withSlot: true }),
      counts('08:30', { checkedIn: 120, inSlot: 113 }),
    ]
    const { voters } = balance(said)
    expect(voters).toMatchObject({ difference: 7, unexplained: 0, at: at('08:30') })
    expect(voters!.right[0]).toEqual({ what: 'tabulated', is: 0, asOf: null })
  })

  it('counts sheets as ballots where a ballot has two, half a ballot under way', () => {
    const plan = { precincts: aPlan().precincts.map(p => ({ ...p, sheets: 2 })) }
    const said = [opened(), counts('08:30', { checkedIn: 120, publicCount: { 'T-01': 231 } })]
    expect(balance(said, 'E-01', plan).voters).toMatchObject({ difference: 4.5, unexplained: 0 })
    const single = balance(said, 'E-01')
    expect(single.voters!.unexplained).toBeLessThan(-100)
  })

  it('takes provisional voters for on the roster or not, as balances better', () => {
    const base = { publicCount: { 'T-01': 100 }, provisional: 30 }
    const on = balance([opened(), counts('08:30', { ...base, checkedIn: 134 })]).voters!
    expect(on.right.map(p => p.what)).toContain('provisional')
    expect(on).toMatchObject({ difference: 4, unexplained: 0 })
    const off = balance([opened(), counts('08:30', { ...base, checkedIn: 104 })]).voters!
    expect(off.right.map(p => p.what)).not.toContain('provisional')
    expect(off).toMatchObject({ difference: 4, unexplained: 0 })
  })

  it('has no term for curbside voters: they are checked in and cast like all others', () => {
    const said = [opened(), counts('08:30', adding(120, 6))]
    const curbside = balance([opened(), counts('08:30', adding(120, 6, { curbside: 9 }))])
    expect(curbside).toEqual(balance(said))
  })

  it('asks for a count of the slot once it was open, and takes what was fed for under way', () => {
    const open = [opened(), counts('08:00', adding(90, 5)), says('E-01', '08:01', 'EmergencySlotOpened', {})]
    expect(balance(open)).toEqual({ ballots: null, voters: null })
    const said = [...open, counts('09:00', adding(150, 5, { inSlot: 60, publicCount: { 'T-01': 83 } }))]
    expect(balance(said).voters).toMatchObject({ difference: 7, unexplained: 0 })
    const taken = balance([...said, says('E-01', '09:01', 'SlotBallotsFed', fed(60))]).voters!
    expect(taken).toMatchObject({ difference: 67, unexplained: 0 })
  })

  it('keeps what was counted by hand or handed over, also once the slot is counted anew', () => {
    const said = [
      opened(),
      says('E-01', '08:01', 'EmergencySlotOpened', {}),
      counts('09:00', adding(150, 5, { inSlot: 60, publicCount: { 'T-01': 83 } })),
      says('E-01', '09:30', 'SlotBallotsFed', { fed: 48, handCounted: 7, handedOver: 5 }),
      says('E-01', '09:31', 'EmergencySlotLocked', { inSlot: 0 }),
      counts('10:00', adding(210, 17, { publicCount: { 'T-01': 191 } })),
    ]
    const { voters, ballots } = balance(said)
    expect(voters!.right.find(p => p.what === 'in-slot')?.is).toBe(12)
    // 210 came; 191 scanned, 12 set aside, 2 provisional: five are still voting.
    expect(voters).toMatchObject({ difference: 7, unexplained: 0 })
    expect(ballots).toMatchObject({ difference: 5, unexplained: 0 })
  })

  it('expects everybody to wait while the only tabulator is down and the slot is shut', () => {
    const said = [
      opened(),
      counts('08:00', adding(90, 5)),
      says('E-01', '08:00', 'EquipmentWentDown', { equipment: 'T-01' }),
      counts('08:40', adding(130, 45)),
    ]
    expect(balance(said).voters).toMatchObject({ difference: 47, unexplained: 0 })
    expect(balance(said.filter(s => s.kind !== 'EquipmentWentDown')).voters!.unexplained).toBeGreaterThan(20)
  })

  it('leaves no band once the polls are closed and everybody has cast', () => {
    const closed = [
      opened(),
      counts('18:30', adding(880, 7)),
      says('E-01', '19:30', 'PollsClosed', { stillInLine: 3 }),
      says('E-01', '19:40', 'LastVoterServed', {}),
    ]
    const exact = balance([...closed, counts('19:45', adding(940, 0, { inLine: 0 }))])
    expect(exact.ballots).toMatchObject({ difference: 0, low: 0, high: 0, unexplained: 0 })
    expect(exact.voters).toMatchObject({ difference: 0, low: 0, high: 0, unexplained: 0 })
    const off = balance([...closed, counts('19:45', adding(940, 1, { inLine: 0 }))])
    expect(off.ballots).toMatchObject({ difference: 1, low: 0, high: 0, unexplained: 1 })
    expect(worstApart(off, 0)!.of).toBe('ballots')
    // Counts from before the end are allowed what came after them.
    expect(balance([...closed, counts('19:45', { checkedIn: 940 })]).voters).toMatchObject({ unexplained: 0 })
  })

  // Four published sheets of one North Carolina county: delivered, left, not scanned, scanner = check-ins.
  it.each([
    ['2023-11-07', 5_400, 4_256, 6, 1_138],
    ['2016-11-08', 3_100, 2_131, 35, 934],
    ['2015-11-03', 1_401, 963, 7, 431],
    ['2014-05-06', 3_203, 2_685, 6, 512],
  ])('holds on the published sheet of %s', (_, delivered, left, notScanned, scanned) => {
    const plan = { precincts: aPlan().precincts.map(p => ({ ...p, ballots: delivered })) }
    const said = [
      opened(),
      says('E-01', '19:30', 'PollsClosed', {}),
      says('E-01', '19:40', 'LastVoterServed', {}),
    ]
    const sheet = { checkedIn: scanned, publicCount: { 'T-01': scanned }, ballotsLeft: left, inLine: 0 }
    for (const [spoiled, provisional] of [
      [notScanned, 0],
      [0, notScanned],
    ]) {
      const { ballots, voters } = balance(
        [...said, counts('19:50', { ...sheet, spoiled, provisional })],
        'E-01',
        plan,
      )
      expect(ballots).toMatchObject({ difference: 0, low: 0, high: 0, unexplained: 0 })
      expect(voters).toMatchObject({ difference: 0, low: 0, high: 0, unexplained: 0 })
    }
  })

  it('is finite, with the difference inside or outside its band, for any counts said at any minute', () => {
    const n = fc.nat(3_000)
    const minute = fc
      .integer({ min: 0, max: 17 * 60 })
      .map(m => `${String(6 + Math.floor(m / 60)).padStart(2, '0')}:${String(m % 60).padStart(2, '0')}`)
    const count = fc.record(
      { checkedIn: n, spoiled: n, provisional: n, inSlot: n, ballotsLeft: n, inLine: n, t: n, x: n },
      { requiredKeys: ['checkedIn'] },
    )
    const said = fc.oneof(
      fc.tuple(minute, count).map(([time, { t, x, ...c }]) =>
        counts(time, {
          ...c,
          ...(t === undefined ? {} : { publicCount: { 'T-01': t, ...(x === undefined ? {} : { X: x }) } }),
        }),
      ),
      minute.map(time => says('E-01', time, 'EmergencySlotOpened', {})),
      fc.tuple(minute, n).map(([time, n]) => says('E-01', time, 'SlotBallotsFed', fed(n))),
      minute.map(time => says('E-01', time, 'EquipmentWentDown', { equipment: 'T-01' })),
      minute.map(time => says('E-01', time, 'EquipmentReplaced', { equipment: 'T-01', by: 'T-9' })),
      minute.map(time => says('E-01', time, 'PollsClosed', {})),
      minute.map(time => says('E-01', time, 'LastVoterServed', {})),
    )
    let asked = 0
    fc.assert(
      fc.property(fc.array(said, { maxLength: 14 }), list => {
        const all = [
          opened(),
          counts('06:31', {
            publicCount: { 'T-01': 0 },
            spoiled: 0,
            provisional: 0,
            ballotsLeft: 900,
            inSlot: 0,
          }),
          ...list,
        ]
        for (const d of Object.values(balance(all))) {
          if (!d) continue
          asked++
          for (const figure of [d.difference, d.low, d.high, d.unexplained, d.at])
            expect(Number.isFinite(figure)).toBe(true)
          expect(d.low).toBeLessThanOrEqual(d.high)
          const inside = d.low <= d.difference && d.difference <= d.high
          expect(d.unexplained === 0).toBe(inside)
          if (!inside)
            expect(Math.abs(d.unexplained)).toBeLessThanOrEqual(Math.abs(d.difference - d.low) + 1e-6)
        }
      }),
      { seed: 32, numRuns: 80 },
    )
    expect(asked).toBeGreaterThan(60)
  })

  it('is the same whichever way round two counts arrive', () => {
    const [a, b] = [counts('08:00', adding(90, 5)), counts('09:00', adding(150, 6), 'E-01')]
    expect(iso('08:00') < iso('09:00')).toBe(true)
    expect(balance([opened(), a, b])).toEqual(balance([opened(), b, a]))
  })
})
