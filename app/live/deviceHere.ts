import { createIdbKeep, createMemoryKeep, type DeviceKeep } from './deviceKeep.ts'
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
