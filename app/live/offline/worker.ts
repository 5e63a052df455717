import { answerFor, assetsIn, cacheOf, cachesToDrop, SHELL } from './shell.ts'

/**
 * The service worker of the precinct page (server/cli/boot/afterPages.mjs makes one file of it). Each build of the
 * pages is a new worker with a cache of its own; it waits until a page lets it take over.
 */

/** Put in when the worker is built. */
declare const BUILD: string

type Waiting = Event & { waitUntil(work: Promise<unknown>): void }
type Fetching = Waiting & { request: Request; respondWith(answer: Promise<Response>): void }
type Scope = {
  addEventListener(name: 'install' | 'activate', listener: (event: Waiting) => void): void
  addEventListener(name: 'fetch', listener: (event: Fetching) => void): void
  addEventListener(name: 'message', listener: (event: MessageEvent & Waiting) => void): void
  skipWaiting(): Promise<void>
  clients: { claim(): Promise<void>; matchAll(of: { includeUncontrolled: boolean }): Promise<unknown[]> }
  registration: { update(): Promise<unknown>; installing: unknown; waiting: unknown }
  location: Location
}
const scope = self as unknown as Scope

/** The page came from a server of another build: no part of it belongs into this cache. */
class OtherBuild extends Error {}

async function fetchPage(): Promise<Response> {
  const page = await fetch(SHELL.page, { cache: 'no-store', credentials: 'same-origin' })
  if (!page.ok || page.redirected) throw new Error(`${SHELL.page} was answered by ${page.status}`)
  if (page.headers.get(SHELL.buildHeader) !== BUILD) throw new OtherBuild()
  return page
}

/** Everything or nothing: what is fetched is read through for what it loads later, until nothing new is named. */
async function takeShell(): Promise<void> {
  const page = await fetchPage()
  const cache = await caches.open(cacheOf(BUILD))
  const seen = new Set<string>(SHELL.beside)
  async function take(path: string): Promise<void> {
    const response = await fetch(path)
    if (!response.ok) throw new Error(`${path} was answered by ${response.status}`)
    const text = /\.(js|css)$/.test(path) ? await response.clone().text() : ''
    await cache.put(path, response)
    await takeAll(assetsIn(text))
  }
  async function takeAll(paths: readonly string[]): Promise<void> {
    const fresh = paths.filter(path => !seen.has(path))
    for (const path of fresh) seen.add(path)
    await Promise.all(fresh.map(take))
  }
  await takeAll(assetsIn(await page.clone().text()))
  await Promise.all(SHELL.beside.map(take))
  // Last: a cache that holds the page holds all that it needs.
  await cache.put(SHELL.page, page)
}

async function tidy(): Promise<void> {
  const tabs = await scope.clients.matchAll({ includeUncontrolled: true })
  const { installing, waiting } = scope.registration
  const names = cachesToDrop(await caches.keys(), BUILD, tabs.length, Boolean(installing ?? waiting))
  await Promise.all(names.map(name => caches.delete(name)))
}

/** The stored page again as the server gives it now (day or night); a newer build comes as a newer worker. */
async function refresh(): Promise<void> {
  try {
    const page = await fetchPage()
    await (await caches.open(cacheOf(BUILD))).put(SHELL.page, page)
    await tidy()
  } catch (error) {
    // Without a network, or with a full disk, the stored page goes on being good.
    if (error instanceof OtherBuild) await scope.registration.update().catch(() => undefined)
  }
}

async function kept(request: Request): Promise<Response> {
  // Any build's cache: a name stands for its content, and a tab may be of the build before.
  const stored = await caches.match(request, { ignoreVary: true })
  return stored ?? fetch(request)
}

async function shell(request: Request): Promise<Response> {
  const cache = await caches.open(cacheOf(BUILD))
  return (await cache.match(SHELL.page, { ignoreVary: true })) ?? fetch(request)
}

scope.addEventListener('install', event => event.waitUntil(takeShell()))
// The page that installed it goes on with it, so that its later parts are there without a network too.
scope.addEventListener('activate', event => event.waitUntil(scope.clients.claim().then(tidy)))
scope.addEventListener('fetch', event => {
  const how = answerFor(event.request, scope.location.origin)
  if (how === 'network') return
  event.respondWith(how === 'shell' ? shell(event.request) : kept(event.request))
  if (how === 'shell') event.waitUntil(refresh())
})
scope.addEventListener('message', event => {
  if (event.data === 'take-over') event.waitUntil(scope.skipWaiting())
  if (event.data === 'take-over-if-alone')
    event.waitUntil(
      scope.clients
        .matchAll({ includeUncontrolled: true })
        .then(tabs => (tabs.length <= 1 ? scope.skipWaiting() : undefined)),
    )
})
