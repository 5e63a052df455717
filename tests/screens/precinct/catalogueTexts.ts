import { catalogue, type Language } from '../../../app/precinct/words/catalogue.ts'

/** One place of the catalogue: its path, and every text that it gives for sample arguments. */
export type Place = { path: string; arity: number | null; texts: string[] }

/**
 * Arguments for functions that choose between sentences by what they are given. All others are called with numbers,
 * which read like names and times here, or where that fails with lists of names.
 */
const CHOOSING: Readonly<Record<string, unknown[][]>> = {
  'office.hasAll': [[null], ['6:30']],
  'office.waiting': [
    [1, null],
    [2, '6:30'],
  ],
  'office.turnedAway': [[''], ['The day is closed.']],
  'enrol.lostKept': [[0], [1], [2]],
  'actions.slotFed.note': [[null], [4]],
  'several.isNotThereHelp': [[''], ['555-0199']],
  'counts.last': [
    [240, null],
    [240, '9:15'],
  ],
  'reported.team': [
    [8, ''],
    [8, '1 greeter'],
  ],
  'reported.seal': [
    ['ballot box', 'E1', 'intact'],
    ['ballot box', 'E1', 'broken'],
    ['ballot box', 'none', 'missing'],
  ],
  'reported.line': [
    [9, undefined],
    [9, 3],
  ],
  'reported.slotLocked': [[undefined], [4]],
  'reported.slotFed': [
    [7, 0, 0],
    [7, 1, 1],
  ],
  'notices.waiting': [[1], [2]],
  'reported.supplies': [
    ['ballots', undefined],
    ['ballots', 100],
  ],
  'reported.box': [
    ['remove', true],
    ['straighten', false],
  ],
  'reported.closed': [[undefined], [4]],
  'reported.departed': [
    [2, ''],
    [2, 'E1, E2'],
  ],
}

export function placesOf(language: Language): Place[] {
  return placesUnder(catalogue[language], '')
}

function placesUnder(part: unknown, path: string): Place[] {
  if (typeof part === 'string') return [{ path, arity: null, texts: [part] }]
  if (typeof part === 'function') return [{ path, arity: part.length, texts: called(part as Said, path) }]
  return Object.entries(part as object).flatMap(([key, value]) =>
    placesUnder(value, path === '' ? key : `${path}.${key}`),
  )
}

type Said = (...args: unknown[]) => string

function called(say: Said, path: string): string[] {
  const chosen = CHOOSING[path]
  if (chosen) return chosen.map(args => say(...args))
  const with_ = (sample: unknown) => [say(...Array.from({ length: say.length }, () => sample))]
  try {
    return with_(7)
  } catch {
    return with_(['Harbor Hall', 'North Light'])
  }
}

/** What ends with a full stop, a question mark or an exclamation mark; labels and titles of a few words are none. */
export function sentencesOf(text: string): string[] {
  return text.split(/(?<=[.?!…])\s+/).filter(part => /[.?!…]$/.test(part))
}

/** Hyphenated words, times and numbers count as one. */
export function wordsIn(text: string): string[] {
  return text.match(/[\p{L}\p{N}]+(?:[’':,.-][\p{L}\p{N}]+)*/gu) ?? []
}
