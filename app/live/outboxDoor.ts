import { type DBSchema, type IDBPDatabase, openDB } from 'idb'

/**
 * One database, opened again where the browser closed it under us: it may when it needs room or when its storage
 * process fails, and another tab of a later build may ask for it to be closed.
 */
export type DbDoor<S extends DBSchema> = {
  /** Begins a transaction. Rejects where the database can't be opened. */
  begin<T>(transaction: (db: IDBPDatabase<S>) => T): Promise<T>
}

/** Opens it for the first time; rejects where the browser gives no storage. */
export async function openDoor<S extends DBSchema>(
  name: string,
  version: number,
  make: (db: IDBPDatabase<S>) => void,
): Promise<DbDoor<S>> {
  let opened: Promise<IDBPDatabase<S>> | null = null

  function open(): Promise<IDBPDatabase<S>> {
    const forget = () => {
      if (opened === mine) opened = null
    }
    const mine = openDB<S>(name, version, {
      upgrade: make,
      blocking(_current, _wanted, event) {
        // Or the other tab would wait for as long as this one is open.
        ;(event.target as IDBDatabase).close()
        forget()
      },
      terminated: forget,
    })
    mine.catch(forget)
    opened = mine
    return mine
  }

  await open()
  return {
    async begin(transaction) {
      const db = await (opened ?? open())
      try {
        return transaction(db)
      } catch (error) {
        if (!isClosed(error)) throw error
        opened = null
        return transaction(await open())
      }
    },
  }
}

/** A connection that is closing takes no more transactions (Indexed Database API 3.0, `transaction()`). */
function isClosed(error: unknown): boolean {
  return error instanceof DOMException && error.name === 'InvalidStateError'
}
