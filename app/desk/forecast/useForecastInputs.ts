'use client'
import { useEffect, useRef, useState } from 'react'
import type { ForecastInputs } from '../../../server/protocol/board.ts'
import { makeAsking } from '../../live/asking.ts'
import { useBoard } from '../../live/useBoard.ts'

type State = { inputs: ForecastInputs | null; problem: string | null }
const NOTHING: State = { inputs: null, problem: null }

/**
 * What a precinct's forecast is made from; asked for again when the board has newer forecasts, one question at a time.
 * What was there stays until the newer arrives. `none`: the board has no forecasts (yet), so nothing is asked.
 */
export function useForecastInputs(day: string, code: string): State & { none: boolean } {
  const position = useBoard(s => s.forecasts?.position ?? null)
  const still = useBoard(s => s.still !== undefined)
  const [state, setState] = useState<State>(NOTHING)
  const asking = useRef<ReturnType<typeof makeAsking<number, ForecastInputs>> | null>(null)

  useEffect(() => {
    const path = `/api/v1/days/${encodeURIComponent(day)}/precincts/${encodeURIComponent(code)}/forecast`
    const made = makeAsking<number, ForecastInputs>({
      ask: async of => {
        const answer = await fetch(still ? `${path}?position=${of}` : path)
        if (!answer.ok) throw new Error(`The server answered ${answer.status}.`)
        return (await answer.json()) as ForecastInputs
      },
      show: inputs => setState({ inputs, problem: null }),
      failed: error => setState(s => ({ ...s, problem: (error as Error).message })),
      // Of the live day the answer is the latest; of a picture only its own will do.
      serves: (asked, wished) => !still || asked === wished,
      wall: () => performance.now(),
      later: (milliseconds, what) => void setTimeout(what, milliseconds),
    })
    asking.current = made
    return () => made.end()
  }, [day, code, still])

  useEffect(() => {
    if (position === null) setState(NOTHING)
    else asking.current?.wish(position)
  }, [position])

  return { ...state, none: position === null }
}
