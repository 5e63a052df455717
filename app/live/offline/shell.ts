/**
 * What the precinct page's service worker decides, without a browser. The shell is the page's HTML with every script,
 * style and font that it loads now or later: all of one build, taken together, or not at all.
 */
export const SHELL = {
  page: '/precinct',
  /** Where the worker comes from. */
  worker: '/sw.js',
  /** Loaded by the browser, not by the page's own code, and so not found by reading it. */
  beside: ['/precinct.webmanifest', '/icons/sunup-192.png'],
  /** The header by which the server says of which build the page is. */
  buildHeader: 'sunup-build',
} as const

const CACHES = 'sunup-precinct-'

export function cacheOf(build: string): string {
  return `${CACHES}${build}`
}

/**
 * How a request is answered. `shell`: the stored page at once, and a look at the office behind it. `kept`: what is
 * stored, else the network; the name holds the content's hash, so what is stored is right. `network`: as if there
 * were no worker (the API, sockets, other pages, anything that changes something).
 */
export function answerFor(
  request: { method: string; mode: string; url: string },
  origin: string,
): 'shell' | 'kept' | 'network' {
  const url = new URL(request.url)
  if (request.method !== 'GET' || url.origin !== origin) return 'network'
  if (request.mode === 'navigate') return url.pathname === SHELL.page ? 'shell' : 'network'
  const kept = url.pathname.startsWith('/_next/static/') || SHELL.beside.some(path => path === url.pathname)
  return kept ? 'kept' : 'network'
}

/** Only the scripts that this browser loads: one that has service workers skips those for old browsers. */
const FOR_OLD_BROWSERS = /<script\b[^>]*\bnomodule\b[^>]*>/gi
const HASHED = /(?:static\/(?:chunks|media)|\.\.\/media)\/[\w.~-]+\.(?:js|css|woff2)/g

/**
 * Paths of what a page, a script or a style names, each once. Of the fonts only those for Latin letters: other
 * letters are drawn by the device's own, and the whole set is as large as all the rest.
 */
export function assetsIn(text: string): string[] {
  const found = text.replace(FOR_OLD_BROWSERS, '').match(HASHED) ?? []
  const paths = found.map(name => `/_next/${name.startsWith('../') ? `static/${name.slice(3)}` : name}`)
  return [...new Set(paths)].filter(path => !path.endsWith('.woff2') || /-latin-wght/.test(path))
}

/**
 * The caches of other builds that may go. A tab of an older build still loads its later parts from its own cache,
 * so they stay while more than one tab is open. They stay too while a newer worker gets ready or waits: one of them
 * is its own, and it couldn't take over without.
 */
export function cachesToDrop(
  names: readonly string[],
  build: string,
  tabs: number,
  newerWaits: boolean,
): string[] {
  if (tabs > 1 || newerWaits) return []
  return names.filter(name => name.startsWith(CACHES) && name !== cacheOf(build))
}
