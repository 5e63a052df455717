/**
 * Instants are whole milliseconds since the epoch, in day time (see DEVELOPERS.md, "Two times").
 * On a wire and in the log's stored text an instant is RFC 3339 in UTC; these two functions are the border.
 */
export type Instant = number

export const SECOND = 1_000
export const MINUTE = 60 * SECOND
export const HOUR = 60 * MINUTE

/** RFC 3339 in UTC with milliseconds, for instants from year 0 to 9999. */
export function toRfc3339(at: Instant): string {
  return new Date(at).toISOString()
}

/** Milliseconds since the epoch of an RFC 3339 text with `Z` or any offset; NaN where it is not one. */
export function fromRfc3339(text: string): Instant {
  const plain = ofPlainText(text)
  return plain === null ? Date.parse(text) : plain
}

const ZERO = 48
function digits(text: string, from: number, to: number): number {
  let n = 0
  for (let i = from; i < to; i++) {
    const digit = text.charCodeAt(i) - ZERO
    if (digit < 0 || digit > 9) return -1_000_000
    n = n * 10 + digit
  }
  return n
}

/**
 * The very form that toRfc3339 writes, which is all that the log holds, several times faster than Date.parse
 * (the fold reads one or more of them in every entry); null where it is another form or a date to be careful
 * with. Days from the civil date: Howard Hinnant, "chrono-Compatible Low-Level Date Algorithms".
 */
function ofPlainText(text: string): Instant | null {
  if (text.length !== 24 || text[4] !== '-' || text[7] !== '-' || text[10] !== 'T') return null
  if (text[13] !== ':' || text[16] !== ':' || text[19] !== '.' || text[23] !== 'Z') return null
  const year = digits(text, 0, 4)
  const month = digits(text, 5, 7)
  const day = digits(text, 8, 10)
  const hour = digits(text, 11, 13)
  const minute = digits(text, 14, 16)
  const second = digits(text, 17, 19)
  const ms = digits(text, 20, 23)
  if (year < 1 || month < 1 || month > 12 || day < 1 || day > (month === 2 ? 28 : 30)) return null
  if (hour < 0 || hour > 23 || minute < 0 || minute > 59 || second < 0 || second > 59 || ms < 0) return null
  const y = month > 2 ? year : year - 1
  const era = Math.floor(y / 400)
  const ofEra = y - era * 400
  const ofYear = Math.floor((153 * (month + (month > 2 ? -3 : 9)) + 2) / 5) + day - 1
  const days =
    era * 146_097 + ofEra * 365 + Math.floor(ofEra / 4) - Math.floor(ofEra / 100) + ofYear - 719_468
  return days * 24 * HOUR + hour * HOUR + minute * MINUTE + second * SECOND + ms
}
