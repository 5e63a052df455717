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
  return Date.parse(text)
}
