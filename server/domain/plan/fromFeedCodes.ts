/** Codes that stay the same from feed to feed: made of what things are called, never of a feed's ids. */

/** Spelling aside: case, spacing, marks on letters and odd characters make no difference. */
export function normal(text: string): string {
  return text.normalize('NFKD').replace(/\p{M}/gu, '').toUpperCase().replace(/\s+/g, ' ').trim()
}

/** One key of several parts; no text can hold the divider, which `normal` takes away. */
export function keyOf(...parts: string[]): string {
  return parts.map(normal).join('\n')
}

const FNV_START = 0x811c9dc5
const FNV_PRIME = 0x01000193

/** 32-bit FNV-1a over UTF-16 units (Fowler, Noll, Vo), as 7 characters of base 36: a short mark, no protection. */
function markOf(key: string): string {
  let hash = FNV_START
  for (let i = 0; i < key.length; i++) hash = Math.imul(hash ^ key.charCodeAt(i), FNV_PRIME)
  return (hash >>> 0).toString(36).padStart(7, '0')
}

const SLUG = 24

/**
 * Codes for things by their keys: a readable part of the name (at most 24 characters) and a mark of the whole
 * key, so that a code depends on nothing but its own key. At most 35 characters, fit for a plan's `code`. Should
 * two keys ever share readable part and mark, the later ones in the order of the keys get a number.
 */
export function codesOf(things: ReadonlyArray<{ key: string; name: string }>): Map<string, string> {
  const codes = new Map<string, string>()
  const taken = new Set<string>()
  const sorted = [...things].sort((a, b) => (a.key < b.key ? -1 : a.key > b.key ? 1 : 0))
  for (const { key, name } of sorted) {
    if (codes.has(key)) continue
    const slug = normal(name)
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, '-')
      .slice(0, SLUG)
      .replace(/^-+|-+$/g, '')
    const code = `${slug === '' ? 'p' : slug}-${markOf(key)}`
    let free = code
    for (let n = 2; taken.has(free); n++) free = `${code}-${n}`
    taken.add(free)
    codes.set(key, free)
  }
  return codes
}
