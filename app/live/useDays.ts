'use client'
import { useEffect, useState } from 'react'
import { onlyDay } from './onlyDay.ts'

export type DayBrief = { id: string; name?: string; county?: string; running?: boolean }
export type AskedDays = {
  days: DayBrief[] | null
  /** The day that is meant: the one wanted, or the only one that can be. */
  day: string | null
  problem: string | null
  again(): void
}

/** The days that boards can be opened of, asked for once; where `wanted` names one already, nothing is asked. */
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
        setProblem(error instanceof TypeError ? 'The server could not be reached.' : (error as Error).message)
      })
    return () => gone.abort()
  }, [wanted, round])
  return { days, day: wanted ?? onlyDay(days), problem, again: () => setRound(r => r + 1) }
}
