import { shown } from './checkFault.ts'

/** Longer words are no slips of the hand. */
const LONGEST = 40

/** Letters to change, put in, take out or swap with a neighbour (optimal string alignment distance). */
function distance(a: string, b: string): number {
  let before: number[] = []
  let last = Array.from({ length: b.length + 1 }, (_, i) => i)
  for (let i = 1; i <= a.length; i++) {
    const row = [i]
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1]
      let least = Math.min(row[j - 1]! + 1, last[j]! + 1, last[j - 1]! + (same ? 0 : 1))
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        least = Math.min(least, before[j - 2]! + 1)
      row.push(least)
    }
    before = last
    last = row
  }
  return last[b.length]!
}

const plain = (word: string) => word.toLowerCase().replace(/[^a-z0-9]/g, '')

/**
 * The known word that somebody most likely meant, whatever its case, spaces and dashes: at most a third of its
 * letters differ, or one begins with the other; null where none is near. Of equals the first.
 */
export function nearest(word: string, known: readonly string[]): string | null {
  if (word.length > LONGEST) return null
  const meant = plain(word)
  if (meant === '') return null
  let best: string | null = null
  let least = Number.POSITIVE_INFINITY
  for (const one of known) {
    const other = plain(one)
    const begins =
      Math.min(meant.length, other.length) >= 3 && (other.startsWith(meant) || meant.startsWith(other))
    const apart = begins ? Math.min(1, distance(meant, other)) : distance(meant, other)
    if (apart <= Math.max(1, Math.floor(other.length / 3)) && apart < least) {
      best = one
      least = apart
    }
  }
  return best
}

/** ` did you mean “stations”?` with a leading semicolon, or '' where nothing is near. */
export function didYouMean(word: string, known: readonly string[]): string {
  const near = nearest(word, known)
  return near === null ? '' : `; did you mean “${shown(near)}”?`
}
