import type { PrecinctDoor } from './outboxIdb.ts'

/** What a device remembers beside its reports: who it is, the plan it last got, when it was last heard. */
export type DeviceKeep = {
  read<T>(name: string): Promise<T | undefined>
  write(name: string, value: unknown): Promise<void>
  forget(name: string): Promise<void>
}

export function createIdbKeep(door: PrecinctDoor): DeviceKeep {
  return {
    read: async <T>(name: string) =>
      (await (await door.begin(db => db.transaction('kept'))).store.get(name)) as T | undefined,
    write: async (name, value) => {
      const tx = await door.begin(db => db.transaction('kept', 'readwrite'))
      await Promise.all([tx.store.put(value, name), tx.done])
    },
    forget: async name => {
      const tx = await door.begin(db => db.transaction('kept', 'readwrite'))
      await Promise.all([tx.store.delete(name), tx.done])
    },
  }
}

export function createMemoryKeep(): DeviceKeep {
  const kept = new Map<string, unknown>()
  return {
    read: async <T>(name: string) => kept.get(name) as T | undefined,
    write: async (name, value) => {
      kept.set(name, structuredClone(value))
    },
    forget: async name => {
      kept.delete(name)
    },
  }
}
