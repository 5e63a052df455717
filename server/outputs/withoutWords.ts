/**
 * A report's JSON as it was sent, for who isn't to read what people wrote: every text with a space in it is left out.
 * What it was about (kind, codes, times, figures) stays. A text that is no JSON is left out whole.
 */
export function withoutWords(sent: string): string {
  try {
    return JSON.stringify(JSON.parse(sent), (_, value) =>
      typeof value === 'string' && /\s/.test(value) ? '…' : value,
    )
  } catch {
    return '…'
  }
}
