import type { ShownCard } from './allCards.ts'

/** What a word counts for by where it stands. */
const IN_TITLE = 4
const IN_FIND = 3
const IN_TEXT = 1

/**
 * The cards for what was typed, best first; all of them, in their order, where it holds no word. Each word is looked
 * for at the beginning of a card's words, whatever its case and accents. Cards that have all words are found; where
 * none has, those that have some word of three letters or more in their title or under their other words.
 */
export function findCards(cards: readonly ShownCard[], typed: string): ShownCard[] {
  const asked = [...new Set(wordsOf(typed))]
  if (asked.length === 0) return [...cards]
  const weighed = cards.map(card => ({ card, weights: weightsOf(card, asked) }))
  const whole = weighed.filter(({ weights }) => weights.every(w => w > 0))
  if (whole.length > 0) return bestFirst(whole)
  return bestFirst(
    weighed.filter(({ weights }) => weights.some((w, i) => w >= IN_FIND && asked[i]!.length >= 3)),
  )
}

type Weighed = { card: ShownCard; weights: readonly number[] }

function weightsOf(card: ShownCard, asked: readonly string[]): number[] {
  const title = wordsOf(card.title)
  const find = wordsOf(card.find)
  const text = wordsOf([...card.lines, ...card.todo, ...card.never].join(' '))
  return asked.map(word => {
    const begins = (other: string) => other.startsWith(word)
    return title.some(begins) ? IN_TITLE : find.some(begins) ? IN_FIND : text.some(begins) ? IN_TEXT : 0
  })
}

/** Equal ones stay in their order. */
function bestFirst(found: readonly Weighed[]): ShownCard[] {
  const sum = ({ weights }: Weighed) => weights.reduce((a, b) => a + b, 0)
  return [...found].sort((a, b) => sum(b) - sum(a)).map(({ card }) => card)
}

/** Letters and digits only, small, without accents: `Votación` and `votacion` are one word. */
function wordsOf(text: string): string[] {
  return (
    text
      .normalize('NFD')
      .replaceAll(/\p{M}/gu, '')
      .toLowerCase()
      .match(/[\p{L}\p{N}]+/gu) ?? []
  )
}
