import { describe, expect, it } from 'vitest'
import {
  closingSeals,
  compareReturn,
  isDifferent,
  type ReturnDifference,
  sentOf,
} from '../../../server/domain/returns/compare.ts'
import { aPlan } from '../../support/aPlan.ts'
import { givenPlan, iso, type Said, says } from '../../support/given.ts'

/** E-01 has two seals of the morning, and `bag` of the evening. */
const base = aPlan()
const evening = aPlan({
  seals: [...base.seals, { precinct: 'E-01', container: 'bag', number: 'B-77', phase: 'closing' }],
})
const left = (items: string[], seals: string[]): Said =>
  says('E-01', '20:15', 'ReturnDeparted', { carriers: 2, items, seals })
const leftUnnamed = says('E-01', '20:15', 'HeartbeatReceived', {
  status: { returns: { is: 'on-its-way', asOf: iso('20:15') } },
})
const here = (items: string[], seals: string[]): Said =>
  says('E-01', '20:50', 'ReturnReceived', { items, seals }, { via: 'desk', wrote: 'nell' })
const same: ReturnDifference = { itemsMissing: [], itemsExtra: [], sealsMissing: [], sealsExtra: [] }

function compared(plan: typeof base, ...said: Said[]) {
  const day = givenPlan(plan, ...said)
  return compareReturn(day.p('E-01'), day.index.precincts.get('E-01')!)
}

describe('a return compared with what was sent', () => {
  it.each<[string, Said[], Partial<ReturnDifference>]>([
    ['the same', [left(['a', 'b'], ['1', '2']), here(['a', 'b'], ['1', '2'])], {}],
    ['in another order', [left(['a', 'b'], ['1', '2']), here(['b', 'a'], ['2', '1'])], {}],
    ['an item is missing', [left(['b', 'a'], []), here(['a'], [])], { itemsMissing: ['b'] }],
    [
      'all items are missing, sorted',
      [left(['b', 'a'], ['1']), here([], ['1'])],
      { itemsMissing: ['a', 'b'] },
    ],
    ['an item nobody named', [left(['a'], []), here(['a', 'c'], [])], { itemsExtra: ['c'] }],
    ['a seal is missing', [left(['a'], ['1', '2']), here(['a'], ['1'])], { sealsMissing: ['2'] }],
    ['a seal nobody named', [left(['a'], ['1']), here(['a'], ['1', '9'])], { sealsExtra: ['9'] }],
    [
      'another seal in its place',
      [left(['a'], ['1']), here(['a'], ['9'])],
      { sealsMissing: ['1'], sealsExtra: ['9'] },
    ],
    ['a seal read with other spaces and case', [left([], ['ab 12']), here([], ['AB12'])], {}],
    [
      'a seal whose dash is another',
      [left([], ['AB-12']), here([], ['AB12'])],
      { sealsMissing: ['AB-12'], sealsExtra: ['AB12'] },
    ],
    ['an item named twice', [left(['a', 'a'], []), here(['a'], [])], {}],
    [
      'items are told apart by case',
      [left(['Bag'], []), here(['bag'], [])],
      { itemsMissing: ['Bag'], itemsExtra: ['bag'] },
    ],
    [
      'nothing was said to be sent, and something came',
      [left([], []), here(['a'], ['1'])],
      { itemsExtra: ['a'], sealsExtra: ['1'] },
    ],
  ])('%s', (_, said, differs) => {
    const difference = compared(base, ...said)
    expect(difference).toEqual({ ...same, ...differs })
    expect(isDifferent(difference)).toBe(Object.keys(differs).length > 0)
  })

  it('is nothing while it is not received', () => {
    expect(compared(evening, left(['a'], ['1']))).toBeNull()
    expect(isDifferent(null)).toBe(false)
  })

  it('where the precinct named nothing holds it to the plan’s seals of the evening, and no items', () => {
    expect(compared(evening, here(['a'], ['b-77']))).toEqual(same)
    expect(compared(evening, leftUnnamed, here(['a'], ['B-78']))).toEqual({
      ...same,
      sealsMissing: ['B-77'],
      sealsExtra: ['B-78'],
    })
  })

  it('where the plan has no seals of the evening either, there is nothing to compare with', () => {
    expect(compared(base, here(['a'], ['1']))).toBeNull()
    expect(compared(base, leftUnnamed, here(['a'], ['1']))).toBeNull()
  })

  it('what the precinct said stands before the plan, whenever it arrives', () => {
    expect(compared(evening, here(['a'], ['1']), left(['a'], ['1']))).toEqual(same)
    expect(compared(evening, left(['a'], ['1']), leftUnnamed, here(['a'], ['1']))).toEqual(same)
  })

  it('morning seals are not asked for in the evening', () => {
    const day = givenPlan(evening)
    expect(closingSeals(day.index.precincts.get('E-01')!)).toEqual(['B-77'])
    expect(closingSeals(day.index.precincts.get('E-02')!)).toEqual([])
  })

  it('says with how many people it left, where that was said', () => {
    const sent = (...said: Said[]) => {
      const day = givenPlan(evening, ...said)
      return sentOf(day.p('E-01'), day.index.precincts.get('E-01')!)
    }
    expect(sent(left(['a'], ['1']))).toEqual({ items: ['a'], seals: ['1'], carriers: 2 })
    expect(sent(leftUnnamed)).toEqual({ items: null, seals: ['B-77'], carriers: null })
  })
})

describe('what stands of a return', () => {
  const tablet = (time: string, seals: string[]) => says('E-01', time, 'ReturnReceived', { items: [], seals })
  const stands = (...said: Said[]) => givenPlan(base, ...said).p('E-01').received?.is

  it('is the later check-in', () => {
    const again = says(
      'E-01',
      '21:10',
      'ReturnReceived',
      { items: [], seals: ['2'] },
      { via: 'desk', wrote: 'imre' },
    )
    expect(stands(here([], ['1']), again)).toMatchObject({
      seals: ['2'],
      by: 'imre',
      via: 'desk',
      position: 2,
    })
    expect(stands(again, here([], ['1']))).toMatchObject({ seals: ['2'], by: 'imre', position: 1 })
  })

  it('is what the office found, not what the precinct’s own tablet says of its hand-over later', () => {
    expect(stands(here([], ['1']), tablet('20:55', ['2']))).toMatchObject({ seals: ['1'], by: 'nell' })
    expect(stands(tablet('20:55', ['2']), here([], ['1']))).toMatchObject({ seals: ['1'], by: 'nell' })
  })

  it('is the tablet’s word while nobody checked it in', () => {
    expect(stands(tablet('20:55', ['2']))).toMatchObject({
      seals: ['2'],
      via: 'device',
      by: null,
      carriers: null,
    })
  })
})
