import { describe, expect, it } from 'vitest'
import { checkPlan } from '../../../server/domain/plan/check.ts'
import { guideOf } from '../../../server/domain/plan/guides.ts'
import { sealPrint } from '../../../server/domain/plan/sealPrint.ts'
import { faultsOf, folder, goodJson, goodTables, withJson } from './checkSupport.ts'

const HEAD = ['code', 'title', 'text', 'titleEs', 'textEs', 'find']
const CURBSIDE = [
  'curbside',
  'Curbside',
  'Two go out.\nThey carry a ballot.',
  'Acera',
  'Salen dos.',
  'car;parking',
]
const DOGS = ['dogs', 'Dogs', 'Service dogs may come in.', '', '', 'animal']

const withCards = (...rows: string[][]) => {
  const files = folder()
  return {
    ...files,
    tables: { ...files.tables, cards: [HEAD, ...rows].map((cells, i) => ({ line: i + 1, cells })) },
  }
}

function planOf(files: Parameters<typeof checkPlan>[0]) {
  const checked = checkPlan(files)
  if (!('plan' in checked)) throw new Error('not a plan')
  return checked.plan
}

describe('cards of the county', () => {
  it('may be left out, and are then not part of the plan', () => {
    expect(Object.hasOwn(planOf(folder()), 'cards')).toBe(false)
  })

  it('keep their paragraphs, and the words under which they are found', () => {
    expect(planOf(withCards(CURBSIDE, DOGS)).cards).toEqual([
      {
        code: 'curbside',
        title: 'Curbside',
        text: 'Two go out.\nThey carry a ballot.',
        titleEs: 'Acera',
        textEs: 'Salen dos.',
        find: ['car', 'parking'],
      },
      { code: 'dogs', title: 'Dogs', text: 'Service dogs may come in.', find: ['animal'] },
    ])
  })

  it('stand once each, with a title and a text', () => {
    expect(faultsOf(withCards(CURBSIDE, CURBSIDE))).toEqual([
      'cards.csv:3 code: found "curbside"; stands already in line 2; once is enough',
    ])
    expect(faultsOf(withCards(DOGS.with(2, '')))).toEqual(['cards.csv:2 text: must be given'])
  })
})

describe('what a step shows', () => {
  it('is the guide that it names, or the one of its code', () => {
    expect(guideOf({ code: 'tabulator' })).toBe('tabulator')
    expect(guideOf({ code: 'scanner-2', guide: 'tabulator' })).toBe('tabulator')
    expect(guideOf({ code: 'flag-raised' })).toBeNull()
    expect(guideOf({ code: 'toString' })).toBeNull()
  })

  it('is refused where there is no such guide', () => {
    const steps = goodTables.steps
      .split('\n')
      .map((line, i) => (i === 0 ? `${line},guide,how` : `${line},${i === 1 ? 'teams' : ''},`))
      .join('\n')
    expect(faultsOf(folder(goodJson, { steps }))[0]).toMatch(
      /^steps\.csv:2 guide: found "teams"; one of team, /,
    )
  })
})

describe('titles', () => {
  it('are told by language, and an unknown one is named', () => {
    const titles = { en: { lead: 'chief judge', workers: 'judges' }, es: { lead: 'juez principal' } }
    expect(planOf(folder({ ...goodJson, titles })).titles).toEqual(titles)
    expect(withJson({ titles: { en: { leed: 'chief judge' } } })[0]).toMatch(
      /titles\.en\.leed.*did you mean “lead”/,
    )
  })
})

describe('the print of a seal', () => {
  it('is the same whatever spaces and case it was typed with, and another for another number, container or day', () => {
    const print = sealPrint('ellery', 'ballot-box', 'E889173')
    expect(sealPrint('ellery', 'ballot-box', ' e889 173 ')).toBe(print)
    expect(sealPrint('ellery', 'ballot-box', 'E889174')).not.toBe(print)
    expect(sealPrint('ellery', 'return-bag', 'E889173')).not.toBe(print)
    expect(sealPrint('ellery-2', 'ballot-box', 'E889173')).not.toBe(print)
    expect(print).not.toContain('889173')
  })
})
