import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { allCards } from '../../../app/precinct/cards/allCards.ts'
import { findCards } from '../../../app/precinct/cards/findCards.ts'
import { catalogue } from '../../../app/precinct/words/catalogue.ts'
import { wordsOf } from '../../../app/precinct/words/wordsOf.ts'
import { type Card, card } from '../../../server/domain/plan/precinctPage.ts'

const county = (over: Partial<Card>): Card =>
  card.parse({
    code: 'ferry',
    title: 'Materials by ferry',
    text: 'Stay with the bag.\n\nRead its seal.',
    ...over,
  })

const english = allCards({ cards: [] }, wordsOf('en'))
const spanish = allCards({ cards: [] }, wordsOf('es'))
const codes = (cards: ReadonlyArray<{ code: string }>) => cards.map(c => c.code)

describe('the cards', () => {
  it('are all of the catalogue, each once, the same in both languages', () => {
    const { voterCards, roomCards } = catalogue.en
    expect(codes(english).sort()).toEqual([...Object.keys(voterCards), ...Object.keys(roomCards)].sort())
    expect(codes(spanish)).toEqual(codes(english))
  })

  it.each([
    ['en', english],
    ['es', spanish],
  ] as const)('%s: are short, say what to do and what never, and have a title of their own', (_, cards) => {
    for (const card of cards) {
      const lines = [...card.lines, ...card.todo, ...card.never]
      expect(lines.length, card.code).toBeGreaterThanOrEqual(5)
      expect(lines.length, card.code).toBeLessThanOrEqual(9)
      expect(card.todo.length, card.code).toBeGreaterThan(0)
      expect(card.never.length, card.code).toBeGreaterThan(0)
      for (const line of lines) expect(line, card.code).not.toMatch(/[{}]/)
    }
    expect(new Set(cards.map(c => c.title)).size).toBe(cards.length)
  })

  it('say nothing of any state’s law', () => {
    for (const card of [...english, ...spanish])
      expect([card.title, ...card.lines, ...card.todo, ...card.never].join(' ')).not.toMatch(
        /\b(law|laws|legal|illegal|statute|state|states|ley|leyes|legal|ilegal|estado|delito|crime)\b/i,
      )
  })

  it('have ours that can’t wait first, then the county’s; one with a code of ours stands in the place of ours', () => {
    const cards = allCards(
      { cards: [county({}), county({ code: 'curbside', title: 'Cars at the pier' })] },
      wordsOf('en'),
    )
    expect(codes(cards)).toEqual([...codes(english).slice(0, 2), 'ferry', ...codes(english).slice(2)])
    expect(cards.filter(c => c.ofCounty).map(c => c.title)).toEqual([
      'Materials by ferry',
      'Cars at the pier',
    ])
    expect(cards.find(c => c.code === 'ferry')!.lines).toEqual(['Stay with the bag.', 'Read its seal.'])
  })

  it('of a county are in Spanish where it gives any, else in English, and marked so', () => {
    const cards = allCards(
      {
        cards: [
          county({ code: 'none' }),
          county({ code: 'title', titleEs: 'Materiales por ferry' }),
          county({ code: 'whole', titleEs: 'Por ferry', textEs: 'Quédese con la bolsa.' }),
        ],
      },
      wordsOf('es'),
    )
    const [none, title, whole] = cards.filter(c => c.ofCounty)
    expect(none).toMatchObject({ title: 'Materials by ferry', titleLang: 'en', linesLang: 'en' })
    expect(title).toMatchObject({ title: 'Materiales por ferry', linesLang: 'en' })
    expect(title).not.toHaveProperty('titleLang')
    expect(whole).toMatchObject({ title: 'Por ferry', lines: ['Quédese con la bolsa.'] })
    expect(whole).not.toHaveProperty('linesLang')
  })
})

describe('the search', () => {
  it.each([
    ['fire', 'danger'],
    ['jam', 'ballot-refused'],
    ['CURB', 'curbside'],
    ['write in', 'write-in'],
    ['line clos', 'closing-line'],
    ['blind', 'assisting'],
    ['phone number', 'whom-to-call'],
    ['wifi', 'power-network'],
    ['reporter', 'press-observers'],
    ['wrong place', 'provisional'],
    ['new ballot', 'spoiled-ballot'],
    ['the machine wont take my ballot', 'ballot-refused'],
  ])('English: “%s” finds %s first', (typed, code) => {
    expect(findCards(english, typed)[0]?.code).toBe(code)
  })

  it.each([
    ['inundacion', 'danger'],
    ['Óvalo', 'write-in'],
    ['vehiculo', 'curbside'],
    ['APAGÓN', 'power-network'],
    ['provisional', 'provisional'],
    ['telefono', 'whom-to-call'],
    ['fila cierre', 'closing-line'],
  ])('Spanish: “%s” finds %s first', (typed, code) => {
    expect(findCards(spanish, typed)[0]?.code).toBe(code)
  })

  it('finds a card by its title in the other language', () => {
    expect(codes(findCards(english, 'amenaza'))).toContain('danger')
    expect(codes(findCards(spanish, 'curb'))).toContain('curbside')
  })

  it('finds the county’s cards by their words', () => {
    const cards = allCards({ cards: [county({ find: ['boat'] })] }, wordsOf('es'))
    expect(codes(findCards(cards, 'boat'))).toEqual(['ferry'])
    expect(findCards(cards, 'bag')[0]?.code).toBe('ferry')
  })

  it('finds nothing for what no card has', () => {
    expect(findCards(english, 'zebra')).toEqual([])
    // Two letters that stand in many cards say nothing beside a word that none has.
    expect(findCards(english, 'to zebra')).toEqual([])
  })

  it('gives all, in their order, where no word was typed', () => {
    for (const typed of ['', '  ', '?!']) expect(codes(findCards(english, typed))).toEqual(codes(english))
  })

  it('gives each card at most once, and none that isn’t there, whatever is typed', () => {
    const said = [...new Set(english.flatMap(c => `${c.title} ${c.find}`.split(' ')))]
    const word = fc.oneof(fc.string({ maxLength: 12 }), fc.constantFrom(...said))
    fc.assert(
      fc.property(fc.array(word, { maxLength: 4 }), words => {
        const found = findCards(english, words.join(' '))
        return new Set(found).size === found.length && found.every(card => english.includes(card))
      }),
      { seed: 20261103, numRuns: 100 },
    )
  })
})
