'use client'
import { useEffect, useState } from 'react'

type Asked<T> = { answer: T | null; problem: string | null; again(): void }

/** What changes in quick succession is asked about once. */
const SETTLE_MS = 400

/**
 * What the server answers to a path, on demand (null: nothing is asked); asked for again when `version` moves. What was
 * shown stays until the newer arrives, and stays with the problem named if it doesn't.
 */
export function useAsked<T>(path: string | null, version: number): Asked<T> {
  const [state, setState] = useState<{ of: string | null; answer: T | null; problem: string | null }>({
    of: null,
    answer: null,
    problem: null,
  })
  const [round, setRound] = useState(0)
  const there = state.of === path && state.answer !== null
  // biome-ignore lint/correctness/useExhaustiveDependencies: version and round say when to ask again
  useEffect(() => {
    if (path === null) return
    const gone = new AbortController()
    const ask = async () => {
      try {
        const answer = await fetch(path, { signal: gone.signal })
        if (!answer.ok)
          throw new Error(
            answer.status === 401 ? 'The session has ended.' : `The server answered ${answer.status}.`,
          )
        setState({ of: path, answer: (await answer.json()) as T, problem: null })
      } catch (error) {
        if (gone.signal.aborted) return
        const problem =
          error instanceof TypeError ? 'The server could not be reached.' : (error as Error).message
        setState(s => ({ of: path, answer: s.of === path ? s.answer : null, problem }))
      }
    }
    const timer = setTimeout(ask, there && round === 0 ? SETTLE_MS : 0)
    return () => {
      gone.abort()
      clearTimeout(timer)
    }
  }, [path, version, round])
  const again = () => setRound(r => r + 1)
  return state.of === path
    ? { answer: state.answer, problem: state.problem, again }
    : { answer: null, problem: null, again }
}
