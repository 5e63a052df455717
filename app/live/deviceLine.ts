import { io } from 'socket.io-client'
import { createSteadyClock, dating } from './deviceDating.ts'
import type { Identity } from './deviceEnrol.ts'
import type { Battery } from './deviceHeartbeat.ts'
import type { Here } from './deviceHere.ts'
import { createDeviceLink, type DeviceLink, type LinkSocket } from './deviceLink.ts'
import type { OutboxStore } from './outboxStore.ts'

/** Whether this device's clock was set is looked for this often, in ms. */
const LOOK_MS = 5_000

/** The line of this device, wired to the browser. `start` it, and `stop` it when the page goes. */
export function linkHere(here: Here, identity: Identity): DeviceLink {
  const { device, day, precinct, key } = identity
  // WebSocket first; the slow way only where a network forbids it.
  const socket = io('/precinct', {
    auth: { key },
    autoConnect: false,
    transports: ['websocket', 'polling'],
    reconnectionDelay: 1_000,
    reconnectionDelayMax: 15_000,
    randomizationFactor: 0.5,
    forceNew: true,
  }) as unknown as LinkSocket
  const tabs = typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel(`sunup-outbox-${device}`)
  const steady = createSteadyClock(() => ({ wall: Date.now(), mono: performance.now() }), randomId())
  const store = dating(here.storeFor({ device, day, precinct }), steady)
  const link = createDeviceLink({
    identity,
    store: announcing(store, () => tabs?.postMessage('changed')),
    keep: here.keep,
    socket,
    random: Math.random,
    clock: {
      now: () => Date.now(),
      after: (ms, then) => {
        const timer = setTimeout(then, ms)
        return () => clearTimeout(timer)
      },
    },
    // Only in a secure context; without it two tabs may send the same report twice, which changes nothing.
    steady,
    alone: navigator.locks
      ? work => navigator.locks.request(`sunup-outbox-${device}`, work) as ReturnType<typeof work>
      : undefined,
    battery: readBattery,
  })
  const online = () => {
    socket.connect()
    link.outbox.wake()
  }
  tabs?.addEventListener('message', () => void link.outbox.look())
  window.addEventListener('online', online)
  const looking = setInterval(steady.look, LOOK_MS)
  return {
    ...link,
    stop() {
      window.removeEventListener('online', online)
      clearInterval(looking)
      tabs?.close()
      link.stop()
    },
  }
}

/** Tells the other tabs of this device when the outbox changed here. */
function announcing(store: OutboxStore, tell: () => void): OutboxStore {
  const after = async <T>(work: Promise<T>): Promise<T> => {
    const result = await work
    tell()
    return result
  }
  return {
    ...store,
    add: (said, limit) => after(store.add(said, limit)),
    settle: answer => after(store.settle(answer)),
    again: (of, said, limit) => after(store.again(of, said, limit)),
    leave: of => after(store.leave(of)),
  }
}

/** Which opening of the page this is; `randomUUID` is missing where the address is not a secure one. */
function randomId(): string {
  return Array.from(crypto.getRandomValues(new Uint32Array(4)), n => n.toString(36)).join('-')
}

type BatteryManager = { level: number; charging: boolean }

async function readBattery(): Promise<Battery | null> {
  const ask = (navigator as { getBattery?: () => Promise<BatteryManager> }).getBattery
  if (!ask) return null
  const { level, charging } = await ask.call(navigator)
  return { percent: Math.round(level * 100), charging }
}
