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
  /**
   * The program ends: it is knocked once more, now, and from then on nobody waits for a database that is away.
   * Resolves when that knock was answered or not.
   */
  hurry(): Promise<void>
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
  /** From a connection that was lost until one is had. */
  let looking = false
  let knocking: Promise<void> | null = null
  let failed = 0
  let knocks = 0
  let hurried = false
  let ended = false
  let timer: NodeJS.Timeout | undefined
  const waiting = new Set<(answers: boolean) => void>()
  const listeners = new Set<(awayMs: number | null) => void>()

  const away = () => (since === null ? null : performance.now() - since)

  function look(): Promise<void> {
    clearTimeout(timer)
    looking = true
    knocking ??= lookOnce().finally(() => {
      knocking = null
    })
    return knocking
  }

  async function lookOnce(): Promise<void> {
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
      failed = 0
      tellWaiting(true)
      if (was !== null) for (const listener of listeners) listener(was)
      return
    }
    if (since === null) {
      since = performance.now()
      for (const listener of listeners) listener(null)
    }
    // Many servers that lost one database must not all come back in the same moment.
    const pause = Math.min(PAUSE_MS.most, PAUSE_MS.first * 2 ** failed++) * (0.6 + 0.4 * Math.random())
    timer = setTimeout(look, pause)
    timer.unref()
  }

  function tellWaiting(answers: boolean): void {
    for (const tell of waiting) tell(answers)
    waiting.clear()
  }

  return {
    away,
    lost: () => {
      if (!looking && !ended) void look()
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
    hurry: async () => {
      hurried = true
      if (!ended) await look()
      tellWaiting(since === null)
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
