/** Sends at once what is the first for a while, and then what comes meanwhile together: at most once in so many ms. */
export type Gathered<T> = {
  owe(key: string, what: T): void
  /** What still waits is not sent. */
  end(): void
}

/** Bounded by its keys: one is forgotten when nothing came for `everyMs`. */
export function createGathered<T>(deps: {
  everyMs: number
  /** What waits already, with what came after it. */
  join(before: T, after: T): T
  send(key: string, what: T): void
}): Gathered<T> {
  const waiting = new Map<string, { timer: NodeJS.Timeout; what?: T }>()

  function send(key: string, what: T) {
    waiting.set(key, { timer: setTimeout(due, deps.everyMs, key).unref() })
    deps.send(key, what)
  }

  function due(key: string) {
    const what = waiting.get(key)?.what
    waiting.delete(key)
    if (what !== undefined) send(key, what)
  }

  return {
    owe: (key, what) => {
      const kept = waiting.get(key)
      if (!kept) send(key, what)
      else kept.what = kept.what === undefined ? what : deps.join(kept.what, what)
    },
    end: () => {
      for (const { timer } of waiting.values()) clearTimeout(timer)
      waiting.clear()
    },
  }
}
