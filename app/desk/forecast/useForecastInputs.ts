'use client'
import { useEffect, useState } from 'react'
import type { ForecastInputs } from '../../../server/protocol/board.ts'
import { useBoard } from '../../live/useBoard.ts'

/** On a fast practice day forecasts come every few seconds: asked for at most this often. */
const SETTLE_MS = 1_000

/**
 * What a precinct's forecast is made from; asked for again when the board has newer forecasts. What was there
 * stays until the newer arrives. Null: none yet, or a picture of what happened, which knew no forecasts.
 */
export function useForecastInputs(
  day: string,
  code: string,
): { inputs: ForecastInputs | null; problem: string | null } {
  const position = useBoard(s => s.forecasts?.position ?? null)
  const still = useBoard(s => s.still !== undefined)
  const [state, setState] = useState<{ inputs: ForecastInputs | null; problem: string | null }>({
    inputs: null,
    problem: null,
  })
  useEffect(() => {
    if (position === null) {
      setState({ inputs: null, problem: null })
      return
    }
    const gone = new AbortController()
    const at = still ? `?position=${position}` : ''
    const path = `/api/v1/days/${encodeURIComponent(day)}/precincts/${encodeURIComponent(code)}/forecast${at}`
    const ask = async () => {
      try {
        const answer = await fetch(path, { signal: gone.signal })
        if (!answer.ok) throw new Error(`The server answered ${answer.status}.`)
        setState({ inputs: (await answer.json()) as ForecastInputs, problem: null })
      } catch (error) {
        if (!gone.signal.aborted) setState(s => ({ ...s, problem: (error as Error).message }))
      }
    }
    const timer = setTimeout(ask, SETTLE_MS)
    return () => {
      clearTimeout(timer)
      gone.abort()
    }
  }, [day, code, position, still])
  return state
}
