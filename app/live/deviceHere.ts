import { io } from 'socket.io-client'
import type { Identity } from './deviceEnrol.ts'
import type { Battery } from './deviceHeartbeat.ts'
import { createIdbKeep, createMemoryKeep, type DeviceKeep } from './deviceKeep.ts'
import { createDeviceLink, type DeviceLink, type LinkSocket } from './deviceLink.ts'
import { createIdbStore, openPrecinctDb } from './outboxIdb.ts'
import { createMemoryStore, createShelf } from './outboxMemory.ts'
import type { OutboxOwner, OutboxStore } from './outboxStore.ts'

/** What this browser gives a device: storage, or memory where it refuses storage (`unsafe`). */
export type Here = {
  keep: DeviceKeep
  storeFor(owner: OutboxOwner): OutboxStore
  unsafe: boolean
}

/** @param database Of the enrolment; without it the first one's. */
export async function openHere(database?: string): Promise<Here> {
  try {
    const db = await openPrecinctDb(database)
    return { keep: createIdbKeep(db), storeFor: owner => createIdbStore(db, owner), unsafe: false }
  } catch {
    const shelf = createShelf()
    return { keep: createMemoryKeep(), storeFor: owner => createMemoryStore(owner, shelf), unsafe: true }
  }
}

/** Asks the browser not to throw the outbox away when space runs short. It may refuse; nothing depends on it. */
export async function askToPersist(): Promise<void> {
  await navigator.storage?.persist?.().catch(() => false)
}

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
  const link = createDeviceLink({
    identity,
    store: announcing(here.storeFor({ device, day, precinct }), () => tabs?.postMessage('changed')),
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
  return {
    ...link,
    stop() {
      window.removeEventListener('online', online)
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

type BatteryManager = { level: number; charging: boolean }

async function readBattery(): Promise<Battery | null> {
  const ask = (navigator as { getBattery?: () => Promise<BatteryManager> }).getBattery
  if (!ask) return null
  const { level, charging } = await ask.call(navigator)
  return { percent: Math.round(level * 100), charging }
}
