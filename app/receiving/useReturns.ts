'use client'
import { useCallback, useEffect, useRef, useState } from 'react'
import type { BoardRow } from '../../server/domain/day/row.ts'
import type { ReturnOnWire, ReturnsAnswer } from '../../server/protocol/returns.ts'
import { useBoard } from '../live/useBoard.ts'

export type Returns = {
  /** null: none has been fetched yet. */
  byCode: ReadonlyMap<string, ReturnOnWire> | null
  stations: ReturnsAnswer['stations']
  problem: string | null
  /** Fetches some returns anew, or all; what came, or why nothing did. */
  refresh(codes?: readonly string[]): Promise<{ returns: ReturnOnWire[] } | { problem: string }>
}

/** What has changed is asked for together, at most so often. */
const GATHER_MS = 800
/** More at once than this, and the whole list is asked for. */
const FEW = 12

/** What of a row the returns hang on. */
function returnSign(row: BoardRow): string {
  const differs = row.reasons.find(r => r.rule === 'return-different')
  return `${row.standing} ${row.departedAt} ${row.receivedAt} ${differs?.figuresAt ?? ''}`
}

/** The returns of a day. The board's socket says which have changed; their details are asked for then. */
export function useReturns(day: string): Returns {
  const [state, setState] = useState<Omit<Returns, 'refresh'>>({ byCode: null, stations: [], problem: null })
  const rows = useBoard(s => s.rows)
  const connected = useBoard(s => s.link.is === 'connected')
  const signs = useRef(new Map<string, string>())
  const waiting = useRef(new Set<string>())
  const timer = useRef<ReturnType<typeof setTimeout> | null>(null)

  const refresh = useCallback(
    async (codes: readonly string[] = []) => {
      try {
        const query = codes.map(code => `precinct=${encodeURIComponent(code)}`).join('&')
        const answer = await fetch(`/api/v1/days/${encodeURIComponent(day)}/returns${query && `?${query}`}`)
        if (!answer.ok)
          throw new Error(
            answer.status === 401 ? 'The session has ended.' : `The server answered ${answer.status}.`,
          )
        const { returns, stations } = (await answer.json()) as ReturnsAnswer
        setState(s => {
          const byCode = new Map(codes.length === 0 ? [] : s.byCode)
          for (const one of returns) byCode.set(one.precinct, one)
          return { byCode, stations, problem: null }
        })
        return { returns }
      } catch (error) {
        const problem =
          error instanceof TypeError ? 'The server could not be reached.' : (error as Error).message
        setState(s => ({ ...s, problem }))
        return { problem }
      }
    },
    [day],
  )

  useEffect(() => {
    const first = signs.current.size === 0
    for (const [code, row] of rows) {
      const sign = returnSign(row)
      if (signs.current.get(code) === sign) continue
      signs.current.set(code, sign)
      waiting.current.add(code)
    }
    if (waiting.current.size === 0 || timer.current !== null) return
    const ask = () => {
      timer.current = null
      const codes = [...waiting.current]
      waiting.current.clear()
      void refresh(first || codes.length > FEW ? [] : codes)
    }
    timer.current = setTimeout(ask, first ? 0 : GATHER_MS)
  }, [rows, refresh])

  // After a break the list that could not be fetched is asked for again.
  const failed = state.problem !== null
  useEffect(() => {
    if (!failed || !connected) return
    const again = setTimeout(() => void refresh(), 3_000)
    return () => clearTimeout(again)
  }, [failed, connected, refresh])
  useEffect(
    () => () => {
      if (timer.current !== null) clearTimeout(timer.current)
      timer.current = null
      signs.current.clear()
    },
    [],
  )
  return { ...state, refresh }
}
