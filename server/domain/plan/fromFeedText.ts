/** Texts of a feed as a plan takes them. */

/**
 * In one line, without control characters, cut to `most` characters with an ellipsis. What stands in front and
 * would make a spreadsheet take the cell for a formula (`=`, `+`, `@`, `-`) is dropped: plans are edited there.
 */
export function plain(text: string, most: number): string {
  const line = text
    .replace(/[\p{Cc}\p{Cf}]+/gu, ' ')
    .replace(/\s+/g, ' ')
    .replace(/^[\s=+@-]+/, '')
    .trim()
  if (line.length <= most) return line
  return `${line
    .slice(0, most - 1)
    .replace(/[\uD800-\uDBFF]$/, '')
    .trimEnd()}…`
}

/** A telephone number as a plan takes it; null: none that could be one. */
export function phoneOf(texts: readonly string[]): string | null {
  return (
    texts
      .map(t => t.replace(/[^\d()+.\-\s x]/g, '').trim())
      .find(t => /\d{3}/.test(t) && t.length >= 3 && t.length <= 30) ?? null
  )
}
