/** The cookie of a signed-in session. */
export const SESSION_COOKIE = 'sunup_session'

/** Value of a cookie in a Cookie header; null where it isn't there or is longer than any of ours. */
export function readCookie(header: string | undefined, name: string): string | null {
  if (header === undefined) return null
  for (const part of header.split(';')) {
    const cut = part.indexOf('=')
    if (cut < 0 || part.slice(0, cut).trim() !== name) continue
    const value = part.slice(cut + 1).trim()
    return value.length > 0 && value.length <= 200 ? value : null
  }
  return null
}

/** Set-Cookie of a session; `maxAgeSeconds` 0 removes it. Secure exactly where people come by https. */
export function sessionCookie(value: string, maxAgeSeconds: number, secure: boolean): string {
  return `${SESSION_COOKIE}=${value}; Path=/; HttpOnly; SameSite=Lax; Max-Age=${maxAgeSeconds}${secure ? '; Secure' : ''}`
}

/** The cookie by which a browser is known to somebody who has signed in with it before. It signs nobody in. */
export const BROWSER_COOKIE = 'sunup_browser'

/** Set-Cookie of a known browser; it is sent to the sign-in page alone. */
export function browserCookie(value: string, maxAgeSeconds: number, secure: boolean): string {
  return `${BROWSER_COOKIE}=${value}; Path=/sign-in; HttpOnly; SameSite=Lax; Max-Age=${maxAgeSeconds}${secure ? '; Secure' : ''}`
}
