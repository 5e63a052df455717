'use client'
import { useEffect, useState } from 'react'
import type { ErrandsAnswer } from '../../server/protocol/errands.ts'

export type ErrandWords = { answer: ErrandsAnswer | null; problem: string | null; again(): void }

/**
 * Addresses and the desk's words of my errands; asked for anew when `of` changes. What was shown stays until the
 * newer is there, and stays with the problem named if it doesn't come.
 */
export function useErrandWords(day: string, of: string): ErrandWords {
  const [answer, setAnswer] = useState<ErrandsAnswer | null>(null)
  const [problem, setProblem] = useState<string | null>(null)
  const [round, setRound] = useState(0)
  // biome-ignore lint/correctness/useExhaustiveDependencies: `of` and round say when to ask again
  useEffect(() => {
    const gone = new AbortController()
    fetch(`/api/v1/days/${encodeURIComponent(day)}/errands`, { signal: gone.signal })
      .then(async got => {
        if (!got.ok)
          throw new Error(
            got.status === 401 ? 'The session has ended.' : `The server answered ${got.status}.`,
          )
        setAnswer((await got.json()) as ErrandsAnswer)
        setProblem(null)
      })
      .catch(error => {
        if (gone.signal.aborted) return
        setProblem(error instanceof TypeError ? 'The server could not be reached.' : (error as Error).message)
      })
    return () => gone.abort()
  }, [day, of, round])
  return { answer, problem, again: () => setRound(r => r + 1) }
}
