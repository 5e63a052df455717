/** Hashes of a log's latest entries, by position: enough to tell whether a board stood on this very log. */
export type LateHashes = {
  add(position: number, hash: string): void
  /** Null: the entry is older than the `most` latest, or there is none. */
  at(position: number): string | null
}

export function createLateHashes(most: number): LateHashes {
  const hashes: string[] = []
  let last = 0
  return {
    add(position, hash) {
      hashes[position % most] = hash
      last = position
    },
    at: position =>
      position < 1 || position > last || position <= last - most ? null : (hashes[position % most] ?? null),
  }
}
