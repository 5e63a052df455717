import { describe, expect, it } from 'vitest'
import { randomOf } from '../../../seed/simulator/random.ts'
import { type PracticeDay, practiceDay } from '../../../seed/simulator/script.ts'
import type { Fault, Order } from '../../../seed/simulator/trainer.ts'
import { whenOrdered } from '../../../seed/simulator/trainer.ts'
import { clockOf, story } from '../../../seed/simulator/troubles.ts'
import { checkPrecinctReport } from '../../../server/domain/log/check.ts'
import { MINUTE, SECOND } from '../../../server/domain/time.ts'
import { trainerFaults } from '../../../server/protocol/setup.ts'
import { dayOf, index, ellery as whole } from './playing.ts'

const SEED = 7
/** A precinct that the story leaves alone. */
const QUIET = 'fog-bell'
const told = new Set<string>([
  QUIET,
  'tern-island',
  ...Object.values(story).flatMap(s => ('precinct' in s ? [s.precinct] : [])),
])
/** Ellery with these precincts alone: each plays as it does among all. */
const ellery = { ...whole, precincts: whole.precincts.filter(p => told.has(p.code)) }
const at = clockOf(ellery)
const factsOf = (day: PracticeDay, precinct: string) => day.precincts.get(precinct)!.facts
const kindsFrom = (day: PracticeDay, precinct: string, from: number, to: number) =>
  factsOf(day, precinct)
    .filter(f => f.at >= from && f.at <= to && !['CountsReported', 'IncidentNoted'].includes(f.kind))
    .map(f => f.kind)

function ordered(...orders: Array<[what: Fault, hhmm: string, precinct?: string]>): PracticeDay {
  const day = practiceDay(ellery, SEED)
  for (const [what, hhmm, precinct = QUIET] of orders)
    expect([what, hhmm, day.order({ precinct, what, at: at(hhmm) })]).toEqual([what, hhmm, { ok: true }])
  return day
}
const refused = (day: PracticeDay, what: Fault, hhmm: string, precinct = QUIET) => {
  const sense = day.order({ precinct, what, at: at(hhmm) })
  return sense.ok ? 'done' : `${sense.path}: ${sense.message}`
}

/** All that must hold of a precinct's day, whatever was ordered. */
function expectSound(day: PracticeDay, code: string) {
  const { facts } = day.precincts.get(code)!
  const planned = index.precincts.get(code)!
  const down = new Set<string>()
  let slotOpen = false
  let before: Record<string, number> = {}
  let beforePublic: Record<string, number> = {}
  facts.forEach((fact, i) => {
    const where = `${code} ${i + 1} ${fact.kind}`
    expect(checkPrecinctReport(fact.kind, fact.body), where).not.toHaveProperty('problems')
    if (i > 0) expect(fact.at, where).toBeGreaterThanOrEqual(facts[i - 1]!.at)
    const equipment = String(fact.body.equipment)
    if (fact.kind === 'EquipmentWentDown') {
      expect([where, down.has(equipment)]).toEqual([where, false])
      down.add(equipment)
    }
    if (fact.kind === 'EquipmentRestored') expect([where, down.delete(equipment)]).toEqual([where, true])
    if (fact.kind === 'EmergencySlotOpened') {
      expect([where, slotOpen]).toEqual([where, false])
      slotOpen = true
    }
    if (fact.kind === 'EmergencySlotLocked') slotOpen = false
    if (fact.kind === 'CountsReported') {
      const { publicCount, ...counts } = fact.body as Record<string, number> & {
        publicCount: Record<string, number>
      }
      for (const n of [...Object.values(counts), ...Object.values(publicCount)])
        expect(n, where).toBeGreaterThanOrEqual(0)
      for (const name of ['checkedIn', 'spoiled', 'provisional', 'curbside'])
        expect([where, name, counts[name]! >= (before[name] ?? 0)]).toEqual([where, name, true])
      for (const tag in publicCount)
        expect([where, publicCount[tag]! >= (beforePublic[tag] ?? 0)]).toEqual([where, true])
      before = counts
      beforePublic = publicCount
    }
  })
  const closed = facts.find(f => f.kind === 'CountsReconciled')
  if (!closed) return
  const b = closed.body as Record<string, number>
  expect([code, b.delivered! - b.left!]).toEqual([
    code,
    b.tabulated! + b.inSlot! + b.provisional! + b.spoiled!,
  ])
  expect([code, b.checkedIn]).toEqual([code, b.tabulated! + b.inSlot! + b.provisional!])
  expect([code, slotOpen]).toEqual([code, false])
  expect(beforePublic).toEqual(Object.fromEntries(planned.tabulators.map(t => [t, beforePublic[t]])))
}

describe('orders of a trainer', () => {
  it('leave a day without orders as it was, and change only the precinct they name', () => {
    const day = ordered(['tabulator-down', '10:00'])
    for (const code of day.precincts.keys())
      if (code !== QUIET) expect(factsOf(day, code)).toEqual(factsOf(dayOf(SEED), code))
    expect(factsOf(practiceDay(ellery, SEED), QUIET)).toEqual(factsOf(dayOf(SEED), QUIET))
  })

  it('give the same day again from the same plan, seed and orders', () => {
    const orders: Order[] = [
      { precinct: QUIET, what: 'tabulator-down', at: at('10:00') },
      { precinct: 'tern-island', what: 'long-line', at: at('11:03') },
      { precinct: QUIET, what: 'tabulator-back', at: at('10:40') },
    ]
    const live = practiceDay(ellery, SEED)
    for (const order of orders) expect(live.order(order).ok).toBe(true)
    const again = practiceDay(ellery, SEED, orders)
    for (const code of [QUIET, 'tern-island'])
      expect(again.precincts.get(code)).toEqual(live.precincts.get(code))
  })

  it.each([1, 2, 3, 4, 5, 6])(
    'whatever they are: nothing said before changes, nothing contradicts itself, and the evening adds up (round %i)',
    round => {
      const random = randomOf(round, 'orders')
      const day = practiceDay(ellery, SEED)
      let done = 0
      for (const precinct of told) {
        let now = at('05:00')
        while (now < at('21:30')) {
          now += random.whole(20, 5_400) * SECOND
          const what = trainerFaults[random.whole(0, trainerFaults.length - 1)]!
          const before = factsOf(day, precinct)
          const when = whenOrdered(now, before.findLast(f => f.at <= now)?.at ?? null)
          if (!day.order({ precinct, what, at: when }).ok) {
            expect(factsOf(day, precinct)).toBe(before)
            continue
          }
          done++
          const after = factsOf(day, precinct)
          const said = (f: { at: number }) => f.at < when
          if (what !== 'tablet-back') expect(after.filter(said)).toEqual(before.filter(said))
          else expect(after.slice(0, before.filter(said).length)).toEqual(before.filter(said))
        }
        expectSound(day, precinct)
      }
      expect(done).toBeGreaterThan(30)
    },
  )
})

describe('a tabulator of a trainer', () => {
  it('goes down at once, the slot is opened, and no ballot is counted until it is back; then it is locked and fed', () => {
    const day = ordered(['tabulator-down', '10:00'], ['tabulator-back', '10:40'])
    expect(kindsFrom(day, QUIET, at('10:00'), at('10:50'))).toEqual([
      'EquipmentWentDown',
      'EmergencySlotOpened',
      'EquipmentRestored',
      'EmergencySlotLocked',
      'SlotBallotsFed',
    ])
    const fed = factsOf(day, QUIET).find(f => f.kind === 'SlotBallotsFed')!
    expect(fed.at).toBe(at('10:45'))
    expect(fed.body.fed).toBeGreaterThan(0)
    expectSound(day, QUIET)
  })

  it('that stays down leaves its ballots to be handed over in the evening', () => {
    const day = ordered(['tabulator-down', '15:00'])
    const handed = factsOf(day, QUIET).find(f => f.kind === 'SlotBallotsFed')!
    expect(handed.body.handedOver).toBeGreaterThan(20)
    expect(factsOf(day, QUIET).some(f => f.kind === 'ClosingTapeSigned')).toBe(false)
    expectSound(day, QUIET)
  })

  it('takes the machine out of the story’s hands: what was scripted for it later does not happen', () => {
    const code = story.tabulatorDown.precinct
    const day = ordered(['tabulator-down', '08:30', code], ['tabulator-back', '08:50', code])
    expect(kindsFrom(day, code, at('08:30'), at('12:00')).filter(k => k !== 'LineReported')).toEqual([
      'EquipmentWentDown',
      'EmergencySlotOpened',
      'EquipmentRestored',
      'EmergencySlotLocked',
      'SlotBallotsFed',
    ])
    expectSound(day, code)
  })

  it('that the story has down can be brought back sooner', () => {
    const code = story.tabulatorDown.precinct
    const day = ordered(['tabulator-back', '09:30', code])
    expect(refused(day, 'tabulator-back', '09:50', code)).toBe(
      'what: its tabulators work, and its slot is locked',
    )
    expect(kindsFrom(day, code, at('09:12'), at('12:00')).filter(k => k !== 'LineReported')).toEqual([
      'EquipmentWentDown',
      'EmergencySlotOpened',
      'EquipmentRestored',
      'EmergencySlotLocked',
      'SlotBallotsFed',
    ])
    expectSound(day, code)
  })

  it('works while its slot stays open, until the slot is locked', () => {
    const day = ordered(['slot-left-open', '10:00'], ['tabulator-back', '11:00'])
    expect(kindsFrom(day, QUIET, at('10:00'), at('11:10'))).toEqual([
      'EmergencySlotOpened',
      'EmergencySlotLocked',
      'SlotBallotsFed',
    ])
    expectSound(day, QUIET)
    const left = ordered(['slot-left-open', '10:00'])
    expect(factsOf(left, QUIET).filter(f => f.kind === 'EmergencySlotLocked')).toHaveLength(1)
    expectSound(left, QUIET)
  })
})

describe('an order that makes no sense', () => {
  it.each([
    ['tabulator-back', '10:00', QUIET, 'what: its tabulators work, and its slot is locked'],
    ['tabulator-down', '05:30', QUIET, /^what: its polls open at 06:3\d$/],
    ['tabulator-down', '19:55', QUIET, 'what: the polls close too soon for that'],
    ['tabulator-down', '09:20', story.tabulatorDown.precinct, 'what: its tabulator is down already'],
    [
      'tabulator-down',
      '10:00',
      story.tapeRejected.precinct,
      'what: the opening tape of its tabulator was rejected: it is out of use',
    ],
    [
      'tabulator-back',
      '10:00',
      story.tapeRejected.precinct,
      'what: the opening tape of its tabulator was rejected: it stays out of use',
    ],
    ['accessible-back', '10:00', QUIET, 'what: its accessible station works'],
    [
      'accessible-down',
      '13:00',
      story.accessibleDown.precinct,
      'what: its accessible station is down already',
    ],
    ['tablet-back', '10:00', QUIET, 'what: its tablet is speaking'],
    [
      'help-asked',
      '10:00',
      story.tabletDies.precinct,
      'what: its tablet says nothing now: bring it back first',
    ],
    [
      'help-asked',
      '04:00',
      QUIET,
      /^what: its tablet is switched on at 05:\d\d$|^what: its tablet is switched on at 04:\d\d$/,
    ],
    ['help-asked', '23:30', QUIET, 'what: its tablet is packed for the return already'],
    ['line-short', '10:00', QUIET, 'what: its line is short'],
    ['help-asked', '10:00', 'nowhere', 'precinct: there is no such precinct in this day’s plan'],
  ] as const)('%s at %s in %s is answered with why', (what, hhmm, precinct, why) => {
    const day = practiceDay(ellery, SEED)
    expect(refused(day, what, hhmm, precinct)).toMatch(why)
  })

  it('comes while the team is still at the last one', () => {
    const day = ordered(['tabulator-down', '10:00'], ['tabulator-back', '10:20'])
    expect(refused(day, 'tabulator-down', '10:22')).toBe(
      'what: its team is still at the last order, until 10:25',
    )
    expect(refused(day, 'tabulator-down', '10:26')).toBe('done')
  })

  it('says the same thing twice', () => {
    const day = ordered(['seal-different', '10:00'], ['ballots-low', '10:00'], ['long-line', '10:00'])
    expect(refused(day, 'seal-different', '10:30')).toBe('what: it has said so already')
    expect(refused(day, 'ballots-low', '10:30')).toMatch(/low on ballots already/)
    expect(refused(day, 'long-line', '10:30')).toBe('what: its line is long already')
  })
})

describe('lines, ballots, seals and tablets of a trainer', () => {
  it('a long line is over what policy bears at the next minute, grows, and is short again when ordered', () => {
    const { policy } = ellery
    const day = ordered(['long-line', '10:00'], ['line-short', '11:00'])
    const waits = factsOf(day, QUIET)
      .filter(f => f.kind === 'LineReported' && f.at > at('10:00') && f.at <= at('11:15'))
      .map(
        f =>
          [f.at, (Number(f.body.inLine) * policy.checkInMinutes) / Number(f.body.stationsWorking)] as const,
      )
    expect(waits[0]![0]).toBe(at('10:01'))
    expect(waits[0]![1]).toBeGreaterThan(policy.longLineMinutes)
    const grown = waits.filter(([when]) => when <= at('10:21'))
    for (let i = 1; i < grown.length; i++) expect(grown[i]![1]).toBeGreaterThan(grown[i - 1]![1])
    expect(waits.at(-1)![1]).toBeLessThan(policy.longLineEndMinutes)
    expectSound(day, QUIET)
    const usual = Number(
      factsOf(dayOf(SEED), QUIET).findLast(f => f.kind === 'CountsReported')!.body.checkedIn,
    )
    const came = Number(factsOf(day, QUIET).findLast(f => f.kind === 'CountsReported')!.body.checkedIn)
    expect(Math.abs(came / usual - 1)).toBeLessThan(0.1)
  })

  it('ballots that run low are counted at the next minute, and spare packs come after an hour and a half', () => {
    const day = ordered(['ballots-low', '10:00'])
    const counts = factsOf(day, QUIET).filter(f => f.kind === 'CountsReported')
    const low = counts.find(f => f.at === at('10:01'))!
    const back = counts.find(f => f.at === at('11:31'))!
    expect(Number(low.body.ballotsLeft)).toBeLessThan(0.5 * index.precincts.get(QUIET)!.precinct.expected)
    expect(Number(back.body.ballotsLeft)).toBeGreaterThan(Number(low.body.ballotsLeft) + 100)
    expectSound(day, QUIET)
  })

  it('a seal is read differently, and the morning’s right reading does not come after it', () => {
    const day = ordered(['seal-different', '05:10'])
    const container = index.precincts.get(QUIET)!.openingSeals[0]!
    const read = factsOf(day, QUIET).filter(f => f.kind === 'SealRecorded' && f.body.container === container)
    expect(read.map(f => f.at)).toEqual([at('05:10')])
    expect(read[0]!.body.found).not.toBe(index.precincts.get(QUIET)!.seals.get(container))
  })

  it('a tablet that dies keeps what its team says until it is back', () => {
    const day = ordered(['tablet-dies', '10:00'], ['tablet-back', '11:00'])
    expect(day.precincts.get(QUIET)!.gaps).toEqual([{ from: at('10:00'), to: at('11:00') }])
    expect(factsOf(day, QUIET)).toEqual(factsOf(dayOf(SEED), QUIET))
  })

  it('the tablet that the story lets die comes back with its whole day', () => {
    const code = story.tabletDies.precinct
    const dead = factsOf(dayOf(SEED), code)
    const day = ordered(['tablet-back', '12:00', code])
    const facts = factsOf(day, code)
    expect(facts.slice(0, dead.length)).toEqual(dead)
    expect(facts.at(-1)!.at).toBeGreaterThan(at('20:00'))
    expect(day.heartbeatAt(code, at('12:00') + MINUTE)).not.toBeNull()
    expectSound(day, code)
  })
})
