import { describe, expect, test } from 'vitest'
import { briefOf, indexOf, QUARTERS } from '../../../server/domain/plan/brief.ts'
import { HOUR, MINUTE } from '../../../server/domain/time.ts'
import { aPlan, DAY } from '../../support/aPlan.ts'
import { at } from '../../support/given.ts'

const sum = (numbers: readonly number[]) => numbers.reduce((a, b) => a + b, 0)
const hours = { report: '05:30', open: '06:30', close: '19:30', returnBy: '22:00' }

describe('the brief of a plan', () => {
  test('gives the hours as instants of the county’s own time zone', () => {
    const brief = briefOf(DAY, aPlan())
    expect(new Date(brief.midnight).toISOString()).toBe('2026-11-03T05:00:00.000Z')
    expect(brief.reportAt).toBe(at('05:30'))
    expect(brief.opensAt).toBe(at('06:30'))
    expect(brief.closesAt).toBe(at('19:30'))
    expect(brief.returnBy).toBe(at('22:00'))
  })

  test('puts a return that is due past midnight on the next day', () => {
    const brief = briefOf(DAY, aPlan({ hours: { ...hours, returnBy: '01:30' } }))
    expect(brief.returnBy).toBe(at('19:30') + 6 * HOUR)
  })

  test('spreads a row of the profile evenly over its quarters', () => {
    const { profile } = briefOf(DAY, aPlan())
    expect(profile).toHaveLength(QUARTERS)
    expect(profile[25]).toBe(0)
    // 6:30 to 8:30 holds a fifth in eight quarters.
    for (let q = 26; q < 34; q++) expect(profile[q]).toBeCloseTo(0.2 / 8, 12)
    expect(profile[34]).toBeCloseTo(0.2 / 12, 12)
    expect(profile[78]).toBe(0)
    expect(sum(profile)).toBeCloseTo(1, 12)
  })

  test('gives a quarter that a row covers in part its part', () => {
    const profile = [
      { from: '07:10', to: '07:20', share: 0.4 },
      { from: '07:20', to: '07:50', share: 0.6 },
    ]
    const made = briefOf(DAY, aPlan({ profile })).profile
    expect(made[28]).toBeCloseTo(0.2, 12)
    expect(made[29]).toBeCloseTo(0.2 + 0.2, 12)
    expect(made[30]).toBeCloseTo(0.3, 12)
    expect(made[31]).toBeCloseTo(0.1, 12)
  })

  test('scales shares that don’t sum to one', () => {
    const profile = [
      { from: '07:00', to: '08:00', share: 0.3 },
      { from: '08:00', to: '09:00', share: 0.1 },
    ]
    const made = briefOf(DAY, aPlan({ profile })).profile
    expect(sum(made)).toBeCloseTo(1, 12)
    expect(sum(made.slice(28, 32))).toBeCloseTo(0.75, 12)
  })

  test('fills the legal hours evenly where no share is given at all', () => {
    const made = briefOf(DAY, aPlan({ profile: [{ from: '07:00', to: '08:00', share: 0 }] })).profile
    expect(made[26]).toBeCloseTo(1 / 52, 12)
    expect(made[77]).toBeCloseTo(1 / 52, 12)
    expect(made[78]).toBe(0)
  })

  test('takes a row that ends at or after midnight into the next day', () => {
    const made = briefOf(DAY, aPlan({ profile: [{ from: '23:00', to: '01:00', share: 1 }] })).profile
    expect(made[92]).toBeCloseTo(1 / 8, 12)
    expect(made[99]).toBeCloseTo(1 / 8, 12)
    expect(sum(made)).toBeCloseTo(1, 12)
  })

  test('keeps elapsed time on a day that is an hour short', () => {
    const brief = briefOf(DAY, aPlan({ date: '2026-03-08' }))
    expect(brief.opensAt - brief.midnight).toBe(5 * HOUR + 30 * MINUTE)
    expect(brief.profile[21]).toBe(0)
    expect(brief.profile[22]).toBeGreaterThan(0)
  })

  test('names places, tabulators and containers but no contact and no seal number', () => {
    const brief = briefOf(DAY, aPlan())
    expect(brief.precincts[1]).toMatchObject({ code: 'E-02', placeName: 'Mill School', area: 'Inland' })
    expect(brief.tabulators['E-02']?.map(t => t.tag)).toEqual(['T-02', 'T-12'])
    expect(brief.containers['E-01']).toEqual(['box', 'door'])
    const text = JSON.stringify(brief)
    expect(text).not.toContain('S-01-box')
    expect(text).not.toContain('555-0101')
  })
})

describe('the index of a plan', () => {
  test('looks a precinct’s things up', () => {
    const mill = indexOf(aPlan(), DAY).precincts.get('E-02')!
    expect(mill.precinct.expected).toBe(2_000)
    expect(mill.place.name).toBe('Mill School')
    expect(mill.tabulators).toEqual(['T-02', 'T-12'])
    expect(mill.equipment.get('A-02')?.kind).toBe('accessible-station')
    expect(mill.seals.get('door')).toBe('S-02-door')
    expect(mill.contacts.map(c => c.phone)).toEqual(['555-0102'])
    expect(mill.opening.map(s => s.code)).toContain('tape')
  })

  test('leaves tape and seals out of the steps where there is no tabulator and no planned seal', () => {
    const bare = indexOf(aPlan({ equipment: [], seals: [] }), DAY).precincts.get('E-01')!
    expect(bare.opening.map(s => s.code)).toEqual(['team', 'ballots', 'box', 'tabulator', 'roster'])
  })
})
