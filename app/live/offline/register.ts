import { SHELL } from './shell.ts'

/**
 * Whether this page opens again without a network. `getting`: it is being stored. `failed`: storing was refused or
 * cut short; the browser tries again at the next visit. `impossible`: the address is not a secure one, or the
 * browser has no service workers.
 */
export type Offline = 'getting' | 'ready' | 'failed' | 'impossible'

export type OfflineShell = {
  state(): Offline
  subscribe(listener: () => void): () => void
  /** Loads the newest build that the office has; the stored one again where the office is not reached. */
  loadAgain(): Promise<void>
}

/** A waiting worker takes over within this, or the page is loaded all the same; ms. */
const TAKE_OVER_MS = 5_000
/** A newer build is stored within this, or the page is loaded all the same; ms. */
const GET_MS = 30_000

type Container = Pick<
  ServiceWorkerContainer,
  'register' | 'getRegistration' | 'controller' | 'addEventListener' | 'removeEventListener'
>

type OfflineDeps = {
  /** Null: there are no service workers here. */
  container: Container | null
  reload(): void
  /** Runs when the page has loaded: what is stored for later doesn't slow what is needed now. */
  whenIdle(then: () => void): void
}

export function startOffline({ container, reload, whenIdle }: OfflineDeps): OfflineShell {
  const listeners = new Set<() => void>()
  let state: Offline = container ? 'getting' : 'impossible'
  function set(next: Offline) {
    state = next
    for (const listener of listeners) listener()
  }

  /** A newer build was stored before this page began: it takes over, where no other tab is open. */
  async function takeNewer(sw: Container): Promise<boolean> {
    if (!sw.controller) return false
    const waiting = (await sw.getRegistration(SHELL.page))?.waiting
    return waiting ? takeOver(sw, waiting, 'take-over-if-alone') : false
  }

  async function store(sw: Container) {
    const registration = await sw.register(SHELL.worker, { scope: SHELL.page, updateViaCache: 'none' })
    if (registration.active) return set('ready')
    const first = registration.installing ?? registration.waiting
    if (!first) return set('failed')
    first.addEventListener('statechange', () => {
      if (first.state === 'activated') set('ready')
      if (first.state === 'redundant') set('failed')
    })
  }

  if (container) {
    // At once, or not at all: later somebody may be in the middle of an answer.
    takeNewer(container).then(
      taken => (taken ? reload() : whenIdle(() => void store(container).catch(() => set('failed')))),
      () => set('failed'),
    )
  }
  return {
    state: () => state,
    subscribe(listener) {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
    async loadAgain() {
      try {
        const registration = await container?.getRegistration(SHELL.page)
        if (container && registration) {
          await registration.update()
          if (registration.installing) await settled(registration.installing)
          if (registration.waiting) await takeOver(container, registration.waiting, 'take-over')
        }
      } catch {
        // The office is not reached: the stored build goes on.
      }
      reload()
    },
  }
}

/** Whether the waiting worker took over. It doesn't where it is asked to do so alone and is not. */
function takeOver(sw: Container, waiting: ServiceWorker, how: 'take-over' | 'take-over-if-alone') {
  const changed = within(TAKE_OVER_MS, done => {
    sw.addEventListener('controllerchange', done)
    return () => sw.removeEventListener('controllerchange', done)
  })
  waiting.postMessage(how)
  return changed
}

/** Resolves when the worker is stored, or won't be. */
function settled(worker: ServiceWorker): Promise<boolean> {
  return within(GET_MS, done => {
    const look = () => {
      if (worker.state !== 'installing') done()
    }
    worker.addEventListener('statechange', look)
    return () => worker.removeEventListener('statechange', look)
  })
}

/** Whether it came in time. */
function within(ms: number, listen: (done: () => void) => () => void): Promise<boolean> {
  return new Promise(resolve => {
    const end = (came: boolean) => {
      clearTimeout(timer)
      stop()
      resolve(came)
    }
    const timer = setTimeout(() => end(false), ms)
    const stop = listen(() => end(true))
  })
}
