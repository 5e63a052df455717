import { isConnectionLost } from './trouble.ts'

/**
 * Whether the database answers. Once a connection is lost one knock is made for all; as long as that fails the
 * database is away, and nobody but the knocking tries to reach it. So an outage costs a connection every few
 * seconds, however many wait.
 */
export type Presence = {
  /** Milliseconds for which it has been away; null: it answers, as far as is known. */
  away(): number | null
  /** A connection was lost: it is looked at once whether another can be had. */
  lost(): void
  /** Resolves with true when it answers, with false after `ms`, or at once where `hurry` was called. */
  back(ms: number): Promise<boolean>
  /** The program ends: nobody waits any more for a database that is away. */
  hurry(): void
  hurried(): boolean
  /** Knocks so far. */
  knocks(): number
  /** Called when it is found away (null), and when it is back, with the milliseconds that it was away. */
  onChange(listener: (awayMs: number | null) => void): void
  end(): void
}

/** The next knock comes after about 0.25 s, then twice as long each time, up to the most. */
const PAUSE_MS = { first: 250, most: 3_000 }

/** @param knock connects, asks the least there is to ask, and ends; rejects where that fails */
export function watchPresence(knock: () => Promise<void>): Presence {
  let since: number | null = null
  let looking = false
  let knocks = 0
  let hurried = false
  let ended = false
  let timer: NodeJS.Timeout | undefined
  const waiting = new Set<(answers: boolean) => void>()
  const listeners = new Set<(awayMs: number | null) => void>()

  const away = () => (since === null ? null : performance.now() - since)

  async function look(attempt: number): Promise<void> {
    knocks++
    // What refuses us by any other word (a password, too many connections) does answer.
    const answers = await knock().then(
      () => true,
      error => !isConnectionLost(error),
    )
    if (ended) return
    if (answers) {
      const was = away()
      since = null
      looking = false
      tellWaiting(true)
      if (was !== null) for (const listener of listeners) listener(was)
      return
    }
    if (since === null) {
      since = performance.now()
      for (const listener of listeners) listener(null)
    }
    // Many servers that lost one database must not all come back in the same moment.
    const pause = Math.min(PAUSE_MS.most, PAUSE_MS.first * 2 ** attempt) * (0.6 + 0.4 * Math.random())
    timer = setTimeout(() => void look(attempt + 1), pause)
    timer.unref()
  }

  function tellWaiting(answers: boolean): void {
    for (const tell of waiting) tell(answers)
    waiting.clear()
  }

  return {
    away,
    lost: () => {
      if (looking || ended) return
      looking = true
      void look(0)
    },
    back: ms => {
      if (since === null) return Promise.resolve(true)
      if (hurried || ended) return Promise.resolve(false)
      return new Promise(resolve => {
        const tell = (answers: boolean) => {
          clearTimeout(late)
          waiting.delete(tell)
          resolve(answers)
        }
        const late = setTimeout(tell, ms, false)
        waiting.add(tell)
      })
    },
    hurry: () => {
      hurried = true
      tellWaiting(false)
    },
    hurried: () => hurried,
    knocks: () => knocks,
    onChange: listener => void listeners.add(listener),
    end: () => {
      ended = true
      clearTimeout(timer)
      tellWaiting(false)
    },
  }
}
