'use client'
import { useEffect, useState } from 'react'
import type { PrecinctDetail } from '../../server/protocol/board.ts'
import { useBoard } from '../live/useBoard.ts'

export type DetailState = { detail: PrecinctDetail | null; problem: string | null; loading: boolean }

/** A busy precinct is asked about at most this often. */
const SETTLE_MS = 400

/**
 * The detail of one precinct, on demand; asked for again when `touchedAt` moves. What was shown stays until the
 * newer arrives, and stays with the problem named if it doesn't.
 */
export function useDetail(day: string, code: string, touchedAt: number): DetailState & { again(): void } {
  const [state, setState] = useState<DetailState & { of: string }>({
    detail: null,
    problem: null,
    loading: true,
    of: code,
  })
  const [round, setRound] = useState(0)
  // A picture of the record is asked about up to its instant.
  const until = useBoard(s =>
    s.still && s.pictureOf !== null ? `?until=${new Date(s.pictureOf).toISOString()}&view=${s.still}` : '',
  )
  // biome-ignore lint/correctness/useExhaustiveDependencies: touchedAt and round say when to ask again
  useEffect(() => {
    const gone = new AbortController()
    const ask = async () => {
      setState(s => ({ ...(s.of === code ? s : { detail: null, problem: null, of: code }), loading: true }))
      try {
        const answer = await fetch(
          `/api/v1/days/${encodeURIComponent(day)}/precincts/${encodeURIComponent(code)}${until}`,
          {
            signal: gone.signal,
          },
        )
        if (!answer.ok)
          throw new Error(
            answer.status === 401 ? 'The session has ended.' : `The server answered ${answer.status}.`,
          )
        setState({ detail: (await answer.json()) as PrecinctDetail, problem: null, loading: false, of: code })
      } catch (error) {
        if (gone.signal.aborted) return
        const problem =
          error instanceof TypeError ? 'The server could not be reached.' : (error as Error).message
        setState(s => ({ ...s, problem, loading: false }))
      }
    }
    const timer = setTimeout(
      ask,
      touchedAt === 0 || round > 0 ? 0 : SETTLE_MS * Number(state.of === code && state.detail !== null),
    )
    return () => {
      gone.abort()
      clearTimeout(timer)
    }
  }, [day, code, touchedAt, round, until])
  const shown = state.of === code ? state : { detail: null, problem: null, loading: true }
  return {
    detail: shown.detail,
    problem: shown.problem,
    loading: shown.loading,
    again: () => setRound(r => r + 1),
  }
}
