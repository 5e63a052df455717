import type { PrecinctDb } from './outboxIdb.ts'

/** What a device remembers beside its reports: who it is, the plan it last got, when it was last heard. */
export type DeviceKeep = {
  read<T>(name: string): Promise<T | undefined>
  write(name: string, value: unknown): Promise<void>
  forget(name: string): Promise<void>
}

export function createIdbKeep(db: PrecinctDb): DeviceKeep {
  return {
    read: async <T>(name: string) => (await db.get('kept', name)) as T | undefined,
    write: async (name, value) => {
      await db.put('kept', value, name)
    },
    forget: name => db.delete('kept', name),
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
