import { describe, expect, it } from 'vitest'
import type { Answers } from '../../../app/precinct/asking/question.ts'
import { allCards } from '../../../app/precinct/cards/allCards.ts'
import { flowOf } from '../../../app/precinct/flows/flows.ts'
import { labelledIn, labelOf, roleWords } from '../../../app/precinct/names.ts'
import { nextUp } from '../../../app/precinct/nextUp.ts'
import { wordsOf } from '../../../app/precinct/words/wordsOf.ts'
import { placesOf } from './catalogueTexts.ts'
import { aDevicePlan, around, OPENS } from './given.ts'

const titles = {
  en: {
    lead: 'chief judge',
    worker: 'judge',
    workers: 'judges',
    custodian: 'porter',
    office: 'board of elections',
  },
  es: {
    lead: 'juez principal',
    worker: 'juez',
    workers: 'jueces',
    custodian: 'portero',
    office: 'junta electoral',
  },
}
const USUAL = {
  en: /\b(precinct leads?|workers?|custodians?|elections office)\b/i,
  es: /\b(encargad[oa]s? del precinto|trabajador(es)?|conserjes?|oficina de elecciones)\b/i,
}

describe('the county’s titles', () => {
  it.each(['en', 'es'] as const)('%s: no sentence has the usual ones but through them', language => {
    const literal = placesOf(language).filter(
      ({ path, texts }) =>
        !path.startsWith('titles.') && texts.some(text => USUAL[language].test(text.replace(/\{\w+\}/g, ''))),
    )
    expect(literal.map(place => place.path)).toEqual([])
  })

  it.each(['en', 'es'] as const)('%s: are in the cards, the roles and the questions', language => {
    const plan = aDevicePlan({ polls: 'open' })
    const words = wordsOf(language, titles[language])
    const texts = allCards(plan, words).flatMap(c => [c.title, ...c.lines, ...c.todo, ...c.never])
    for (const title of [titles[language].lead, titles[language].workers])
      expect(texts.some(text => text.includes(title))).toBe(true)
    expect(roleWords('precinct lead', words)).toBe(titles[language].lead)
    expect(roleWords('custodian', words)).toBe(titles[language].custodian)
    const here = { ...around(plan), words }
    const { next, more } = nextUp(plan, here.page, { now: OPENS, time: String, dayOf: Date.parse }, words)
    for (const { screen, title, note } of [...next, ...more]) {
      const [room, name = '', what] = screen.split('/')
      const flow = room === 'flow' ? flowOf(name, what) : null
      const first = flow?.({} as Answers, here)
      // What is sent is the same whatever people are called.
      const shown = JSON.stringify([title, note, first], (key, value) =>
        key === 'value' ? undefined : value,
      )
      expect(shown, screen).not.toMatch(USUAL[language])
    }
  })

  it('are in the enrolment form and the team’s question', () => {
    const words = wordsOf('en', titles.en)
    expect(words.enrol.lead).toMatch(/^The board of elections gives/)
    expect(words.team.present).toBe('How many judges are here now?')
    expect(words.roles['other worker']).toBe('other judge')
    expect(words.categories.workers).toBe('judges')
  })
})

describe('labels of machines', () => {
  it('that are the usual English words are read in the page’s language; a county’s own stay', () => {
    const plan = {
      ...aDevicePlan(),
      equipment: [...aDevicePlan().equipment, { tag: 'P9', kind: 'pollbook', label: 'Blue case' }],
    }
    const es = labelledIn(plan, wordsOf('es'))
    expect(labelOf(es, 'T2')).toBe('Tabulador 2')
    expect(labelOf(es, 'A1')).toBe('Estación accesible')
    expect(labelOf(es, 'P9')).toBe('Blue case')
    expect(labelledIn(plan, wordsOf('en'))).toBe(plan)
  })
})
