import type { DevicePlan } from '../../../server/protocol/device.ts'
import { catalogue, type Language, type Words } from './catalogue.ts'

/** What the county calls people and its office, in one language; what is left out has its usual title. */
export type Titles = NonNullable<NonNullable<DevicePlan['titles']>[Language]>

const made = new Map<string, Words>()

/**
 * The page's words in a language, with the county's titles in place of `{lead}`, `{worker}`, `{workers}`,
 * `{custodian}` and `{office}`; `{Lead}` is the same at the beginning of a sentence. The same object for the same
 * language and titles.
 */
export function wordsOf(language: Language, titles: Titles = {}): Words {
  const key = `${language} ${JSON.stringify(titles)}`
  const known = made.get(key)
  if (known) return known
  const words = catalogue[language]
  const given = Object.entries(titles).filter(([, title]) => title)
  const filled = fill(words, { ...words.titles, ...Object.fromEntries(given) }) as Words
  made.set(key, filled)
  return filled
}

function fill(part: unknown, titles: Readonly<Record<string, string>>): unknown {
  if (typeof part === 'string') return fillText(part, titles)
  if (typeof part === 'function') return (...args: unknown[]) => fillText(part(...args), titles)
  return Object.fromEntries(Object.entries(part as object).map(([key, value]) => [key, fill(value, titles)]))
}

function fillText(text: string, titles: Readonly<Record<string, string>>): string {
  return text.replace(/\{(\w+)\}/g, (whole, name: string) => {
    if (Object.hasOwn(titles, name)) return titles[name]!
    const small = name[0]!.toLowerCase() + name.slice(1)
    return Object.hasOwn(titles, small) ? capital(titles[small]!) : whole
  })
}

const capital = (title: string) => title[0]!.toUpperCase() + title.slice(1)
