'use client'
import { useCallback, useEffect, useState } from 'react'
import { HOUR } from '../../../server/domain/time.ts'
import type { EntryOnWire } from '../../../server/protocol/board.ts'
import { dayNow } from '../../live/clock.ts'
import { useLink } from '../../live/useBoard.ts'
import { type RecentNotes, recentNotes } from './recentNotes.ts'

/** Notes are of the last two hours of the day. */
export const NOTES_MS = 2 * HOUR

export type AskedNotes = {
  found: (RecentNotes & { at: number }) | null
  problem: string | null
  again(): void
}

/** Asked for once when the sheet is opened, and again when somebody says so. */
export function useRecentNotes(day: string): AskedNotes {
  const { store } = useLink()
  const [state, setState] = useState<Omit<AskedNotes, 'again'>>({ found: null, problem: null })
  const [round, setRound] = useState(0)
  // biome-ignore lint/correctness/useExhaustiveDependencies: round asks again
  useEffect(() => {
    const gone = new AbortController()
    const { clock, cursor } = store.get()
    const at = clock === null ? 0 : dayNow(clock, Date.now())
    const read = async (after: number, limit: number): Promise<EntryOnWire[]> => {
      const answer = await fetch(
        `/api/v1/days/${encodeURIComponent(day)}/log?after=${after}&limit=${limit}`,
        { signal: gone.signal },
      )
      if (!answer.ok)
        throw new Error(
          answer.status === 401 ? 'the session has ended' : `the server answered ${answer.status}`,
        )
      return ((await answer.json()) as { entries: EntryOnWire[] }).entries
    }
    recentNotes(read, cursor, at - NOTES_MS)
      .then(found => setState({ found: { ...found, at }, problem: null }))
      .catch(error => {
        if (gone.signal.aborted) return
        const problem =
          error instanceof TypeError ? 'the server could not be reached' : (error as Error).message
        setState(s => ({ ...s, problem }))
      })
    return () => gone.abort()
  }, [day, store, round])
  return { ...state, again: useCallback(() => setRound(r => r + 1), []) }
}
