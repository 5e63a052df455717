import { describe, expect, it } from 'vitest'
import { reasonWords } from '../../../server/domain/calls/words.ts'
import type { Body } from '../../../server/domain/log/kinds.ts'
import { briefOf } from '../../../server/domain/plan/brief.ts'
import { aPlan, DAY } from '../../support/aPlan.ts'
import { at, given, says } from '../../support/given.ts'
import { judging } from './judging.ts'

const brief = briefOf(DAY, aPlan())

/** What the desk is told after "The precinct asked for help at 10:00: ". */
function told(said: ReturnType<typeof says>): string {
  const day = given(said)
  judging(day).at('10:00')
  const { fact } = reasonWords(day.p('E-01').reasons['help-asked:E-01']!, brief, at('10:00'))
  return fact.replace('The precinct asked for help at 10:00: ', '')
}
const help = (body: Body<'HelpRequested'>) => told(says('E-01', '10:00', 'HelpRequested', body))
const supplies = (body: Body<'SuppliesRequested'>) => told(says('E-01', '10:00', 'SuppliesRequested', body))

describe('help that was asked for', () => {
  it('names the trouble and the step at which it happened', () => {
    expect(help({ about: 'equipment', step: 'box', trouble: 'box-not-empty' })).toBe(
      `the ballot box is not empty, at “${brief.steps.find(s => s.code === 'box')!.title}”.`,
    )
    expect(help({ about: 'equipment', step: 'gone', trouble: 'no-power' })).toBe('no power, at “gone”.')
  })

  it('says what it is about where no trouble was named, or something else', () => {
    expect(help({ about: 'power' })).toBe('power.')
    expect(help({ about: 'custody', trouble: 'other' })).toBe('custody of materials.')
  })

  it('names every request that stands, the first one first', () => {
    const day = given(
      says('E-01', '10:00', 'HelpRequested', { about: 'medical' }),
      says('E-01', '10:01', 'SuppliesRequested', { item: 'pens' }),
      says('E-01', '10:02', 'HelpRequested', { about: 'equipment', trouble: 'no-power' }),
    )
    judging(day).at('10:02')
    expect(reasonWords(day.p('E-01').reasons['help-asked:E-01']!, brief).fact).toBe(
      'The precinct asked for help at 10:00: a medical matter. At 10:01: pens. At 10:02: no power.',
    )
  })

  it('says what is to be brought, and how many people are to come', () => {
    expect(supplies({ item: 'workers', howMany: 2 })).toBe('it asks for 2 standby workers.')
    expect(supplies({ item: 'workers', howMany: 1 })).toBe('it asks for 1 standby worker.')
    expect(supplies({ item: 'workers' })).toBe('it asks for standby workers.')
    expect(supplies({ item: 'ballots', howMany: 1_200 })).toBe('1,200 ballots.')
    expect(supplies({ item: 'other' })).toBe('supplies.')
  })
})
