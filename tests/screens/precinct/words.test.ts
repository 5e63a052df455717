import { fleschKincaid } from 'flesch-kincaid'
import { syllable } from 'syllable'
import { describe, expect, it } from 'vitest'
import { catalogue } from '../../../app/precinct/words/catalogue.ts'
import { wordsOf } from '../../../app/precinct/words/wordsOf.ts'
import { placesOf, sentencesOf, wordsIn } from './catalogueTexts.ts'

const english = placesOf('en')
const spanish = placesOf('es')

describe('the two languages', () => {
  it('have the same places, and functions of the same arguments', () => {
    const shape = (places: typeof english) =>
      places.map(({ path, arity }) => `${path}${arity === null ? '' : `(${arity})`}`).sort()
    expect(shape(spanish)).toEqual(shape(english))
  })

  /** "No", and the names that a sentence is given. */
  const SAME: readonly string[] = ['tape.no', 'equipment.no', 'several.trouble']
  it('say nothing alike but what is the same in both', () => {
    const there = new Map(spanish.map(place => [place.path, place.texts]))
    const same = english.filter(({ path, texts }) =>
      texts.some(
        (text, i) => /\p{L}{2}/u.test(text.replace(/\{\w+\}/g, '')) && there.get(path)?.[i] === text,
      ),
    )
    expect(same.map(place => place.path).sort()).toEqual([...SAME].sort())
  })

  it.each(['en', 'es'] as const)(
    '%s: every function gives text, and every title in braces is known',
    language => {
      const known = new Set(Object.keys(catalogue[language].titles))
      for (const { path, texts } of placesOf(language))
        for (const text of texts) {
          expect(text.trim(), path).not.toBe('')
          expect(text, path).not.toMatch(/undefined|null|NaN|\[object/)
          for (const [, name] of text.matchAll(/\{(.*?)\}/g))
            expect(known, path).toContain(name![0]!.toLowerCase() + name!.slice(1))
        }
    },
  )
})

describe('titles', () => {
  it('are the county’s in strings and in what functions return, and the usual ones where it says none', () => {
    const words = wordsOf('en', { lead: 'inspector', workers: 'clerks' })
    expect(words.team.present).toBe('How many clerks are here now?')
    expect(words.roles).toMatchObject({ 'precinct lead': 'inspector', 'other worker': 'other worker' })
    expect(wordsOf('es').team.present).toBe('¿Cuántos trabajadores electorales hay aquí ahora?')
    expect(words.counts.publicCount('{lead}')).toBe('What is the public count of inspector?')
  })

  it('are filled in once for the same language and titles', () => {
    expect(wordsOf('en', { lead: 'inspector' })).toBe(wordsOf('en', { lead: 'inspector' }))
    expect(wordsOf('en', { lead: 'inspector' })).not.toBe(wordsOf('en', { lead: 'judge' }))
  })
})

/**
 * Kincaid, Fishburne, Rogers, Chissom: Derivation of new readability formulas for Navy enlisted personnel, Research
 * Branch Report 8-75, 1975: grade = 0.39 · words per sentence + 11.8 · syllables per word − 15.59.
 */
describe('the English', () => {
  const sentences = english.flatMap(({ path, texts }) =>
    texts.flatMap(text => sentencesOf(text).map(sentence => ({ path, sentence, words: wordsIn(sentence) }))),
  )
  const syllables = (words: readonly string[]) =>
    words.reduce((sum, word) => sum + Math.max(1, syllable(word)), 0)

  it('has no sentence of more than 20 words', () => {
    expect(sentences.filter(s => s.words.length > 20).map(s => `${s.path}: ${s.sentence}`)).toEqual([])
  })

  it('is read at the sixth grade or below', () => {
    const words = sentences.flatMap(s => s.words)
    const grade = fleschKincaid({
      sentence: sentences.length,
      word: words.length,
      syllable: syllables(words),
    })
    expect(sentences.length).toBeGreaterThan(100)
    expect(grade).toBeLessThanOrEqual(6)
  })
})
