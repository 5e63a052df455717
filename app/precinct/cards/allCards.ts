import type { DevicePlan } from '../../../server/protocol/device.ts'
import { catalogue, type Words } from '../words/catalogue.ts'

/** A card of the quick reference as it is shown in one language. */
export type ShownCard = {
  code: string
  title: string
  /** Paragraphs, and what to do and never to do. */
  lines: readonly string[]
  todo: readonly string[]
  never: readonly string[]
  /** The county's own: one more, or in place of a card of ours. */
  ofCounty: boolean
  /** Where it is not in the language of the page: what it is in. */
  titleLang?: 'en'
  linesLang?: 'en'
  /** Other words under which it is found, and its title in the other language. */
  find: string
}

/** The card that shows the telephone numbers. */
export const PHONES_CARD = 'whom-to-call'

/** Our cards in the order of the list: what can't wait first. */
const ORDER = [
  PHONES_CARD,
  'danger',
  'ballot-refused',
  'power-network',
  'provisional',
  'spoiled-ballot',
  'assisting',
  'accessible',
  'language',
  'curbside',
  'write-in',
  'trouble-maker',
  'people-in-room',
  'press-observers',
  'tabulator-distance',
  'closing-line',
] as const satisfies ReadonlyArray<keyof Standard>

/** So many of them stand before the county's own: whom to call, and danger. */
const FIRST = 2

type Standard = Words['voterCards'] & Words['roomCards']

/**
 * All cards: ours that can't wait first, then the county's, then the rest of ours; one of the county with the code of ours stands in the place of ours. A card of the
 * county without Spanish is shown in English.
 */
export function allCards(plan: Pick<DevicePlan, 'cards'>, words: Words): ShownCard[] {
  const county = new Map(plan.cards.map(card => [card.code, countyCard(card, words)]))
  const ours: ReadonlySet<string> = new Set(ORDER)
  const ownOrTheirs = (code: keyof Standard) => county.get(code) ?? standardCard(code, words)
  return [
    ...ORDER.slice(0, FIRST).map(ownOrTheirs),
    ...[...county.values()].filter(card => !ours.has(card.code)),
    ...ORDER.slice(FIRST).map(ownOrTheirs),
  ]
}

function standardCard(code: keyof Standard, words: Words): ShownCard {
  const card = standard(words)[code]
  const other = standard(catalogue[words.language.tag === 'es' ? 'en' : 'es'])[code]
  return {
    code,
    title: card.title,
    lines: linesOf(card.text),
    todo: linesOf(card.todo),
    never: linesOf(card.never),
    ofCounty: false,
    find: [card.find, other.title, other.find].join(' '),
  }
}

function standard({ voterCards, roomCards }: Words): Standard {
  return { ...voterCards, ...roomCards }
}

function countyCard(card: DevicePlan['cards'][number], words: Words): ShownCard {
  const spanish = words.language.tag === 'es'
  return {
    code: card.code,
    title: (spanish && card.titleEs) || card.title,
    lines: linesOf((spanish && card.textEs) || card.text),
    todo: [],
    never: [],
    ofCounty: true,
    ...(spanish && !card.titleEs ? { titleLang: 'en' as const } : {}),
    ...(spanish && !card.textEs ? { linesLang: 'en' as const } : {}),
    find: [...card.find, card.title, card.titleEs ?? ''].join(' '),
  }
}

function linesOf(text: string): string[] {
  return text
    .split('\n')
    .map(line => line.trim())
    .filter(line => line !== '')
}
