'use client'
import { useEffect, useState } from 'react'

type DayBrief = { id: string; name?: string; county?: string }
export type AskedDays = { days: DayBrief[] | null; problem: string | null; again(): void }

/** The running days, asked for once; `wanted` names one already, and nothing is asked. */
export function useDays(wanted: string | null): AskedDays {
  const [days, setDays] = useState<DayBrief[] | null>(null)
  const [problem, setProblem] = useState<string | null>(null)
  const [round, setRound] = useState(0)
  // biome-ignore lint/correctness/useExhaustiveDependencies: round asks again
  useEffect(() => {
    if (wanted !== null) return
    const gone = new AbortController()
    setProblem(null)
    fetch('/api/v1/days', { signal: gone.signal })
      .then(async answer => {
        if (!answer.ok) throw new Error(`The server answered ${answer.status}.`)
        setDays(((await answer.json()) as { days: DayBrief[] }).days)
      })
      .catch(error => {
        if (gone.signal.aborted) return
        const words =
          error instanceof TypeError ? 'The server could not be reached.' : (error as Error).message
        setProblem(words)
      })
    return () => gone.abort()
  }, [wanted, round])
  return { days, problem, again: () => setRound(r => r + 1) }
}
