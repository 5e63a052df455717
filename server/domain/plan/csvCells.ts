import type { Cell } from './csv.ts'
import type { Delimiter } from './dialect.ts'

/** Spaces that don't break, and signs without any width, as spreadsheets and web pages leave them in cells. */
const SPACES = /[\u00A0\u2007\u202F]/g
const NO_WIDTH = /[\u00AD\u200B\u2060\uFEFF]/g

/** A cell without what can't be seen: other spaces are plain ones, none stand at its ends. */
export function cleanCell(raw: string): string {
  return raw.replace(SPACES, ' ').replace(NO_WIDTH, '').trim()
}

/** A number with thousands set apart, as people write it for people. */
const SEPARATED = /^-?\d{1,3}(?:[ .,'’]\d{3})+$/

/**
 * What a cleaned cell holds; undefined where it is empty. Lists are divided by semicolons or bars, in files whose
 * cells are divided by semicolons or tabs by commas too. There numbers may have a decimal comma.
 * @returns `wanted`: what would do, where it can't be read
 */
export function readCell(
  cell: Cell,
  text: string,
  delimiter: Delimiter,
): { value: unknown } | { wanted: string } {
  if (cell === 'list') {
    const items = text.split(delimiter === ',' ? /[;|]/ : /[;|,]/)
    return { value: items.map(item => item.trim()).filter(item => item !== '') }
  }
  if (text === '') return { value: undefined }
  switch (cell) {
    case 'number':
      return numberOf(text, delimiter)
    case 'whole':
      return wholeOf(text)
    case 'time':
      return timeOf(text)
    case 'yes-no':
      if (/^yes$/i.test(text)) return { value: true }
      return /^no$/i.test(text) ? { value: false } : { wanted: 'yes or no' }
    default:
      return { value: text }
  }
}

function numberOf(text: string, delimiter: Delimiter): { value: number } | { wanted: string } {
  if (/^-?\d{1,12}(?:\.\d+)?$/.test(text)) return { value: Number(text) }
  if (/^-?\d{0,12}[.,]\d+$/.test(text)) {
    const point = text.replace(',', '.').replace(/^(-?)\./, '$10.')
    if (delimiter !== ',' || !text.includes(',')) return { value: Number(point) }
    return { wanted: `a number with a decimal point: ${point}` }
  }
  const percent = /^(\d{1,3}(?:[.,]\d+)?) ?%$/.exec(text)?.[1]
  if (percent !== undefined)
    return { wanted: `a share of 1 without the percent sign: ${Number(percent.replace(',', '.')) / 100}` }
  return { wanted: 'a number, such as 12 or 0.5' }
}

/** A fraction of nothing but zeros is taken (3.0); three of them may as well be thousands, and are not. */
function wholeOf(text: string): { value: number } | { wanted: string } {
  const plain = /^(-?\d{1,12})(?:[.,]0{1,2})?$/.exec(text)?.[1]
  if (plain !== undefined) return { value: Number(plain) }
  if (SEPARATED.test(text))
    return { wanted: `a whole number without separators: ${text.replace(/[^\d-]/g, '')}` }
  return { wanted: 'a whole number, such as 12' }
}

/** Spreadsheets drop the first zero and add seconds: 6:30 and 06:30:00 are 06:30. */
function timeOf(text: string): { value: string } | { wanted: string } {
  const parts = /^(\d{1,2}):(\d\d)(?::00)?$/.exec(text)
  const value = parts ? `${parts[1]!.padStart(2, '0')}:${parts[2]}` : ''
  if (/^([01]\d|2[0-3]):[0-5]\d$/.test(value)) return { value }
  if (/^\d{1,2}(:\d\d)*\s*[ap]\.?m\.?$/i.test(text))
    return { wanted: 'a time of 24 hours as HH:MM: 7:30 pm is 19:30' }
  return { wanted: 'a time as HH:MM, such as 06:30' }
}
