export type Theme = 'day' | 'night'

/** The chosen light as the cookie has it; undefined: none chosen, the system's preference holds. */
export function themeOf(cookie: string | undefined): Theme | undefined {
  return cookie === 'day' || cookie === 'night' ? cookie : undefined
}
