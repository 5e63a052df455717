'use client'
import { createContext, useContext, useEffect, useState, useSyncExternalStore } from 'react'
import type { BoardRow } from '../../server/domain/day/row.ts'
import type { Instant } from '../../server/domain/time.ts'
import type { BoardState } from './boardStore.ts'
import { dayNow } from './clock.ts'
import { type BoardLink, openBoard } from './socket.ts'

const Board = createContext<BoardLink | null>(null)
export const BoardProvider = Board.Provider

/** Opens a board for a day and closes it with the component. */
export function useOpenBoard(day: string | null): BoardLink | null {
  const [link, setLink] = useState<BoardLink | null>(null)
  useEffect(() => {
    if (day === null) return
    const opened = openBoard(day)
    setLink(opened)
    return () => opened.end()
  }, [day])
  return link
}

export function useLink(): BoardLink {
  const link = useContext(Board)
  if (!link) throw new Error('no BoardProvider above')
  return link
}

/**
 * A slice of the board. The component is drawn again only when the slice is another thing (Object.is), so a
 * selector must give back what is in the store, or a primitive.
 */
export function useBoard<T>(select: (state: BoardState) => T): T {
  const { store } = useLink()
  return useSyncExternalStore(
    store.listen,
    () => select(store.get()),
    () => select(store.get()),
  )
}

export const useRow = (code: string): BoardRow | undefined => useBoard(s => s.rows.get(code))
/** The plan of a board that has its first picture; only under the part of the desk that waits for it. */
export const usePlan = () => useBoard(s => s.plan)!

const TICK_MS = 500
function everyTick(listener: () => void): () => void {
  const timer = setInterval(listener, TICK_MS)
  return () => clearInterval(timer)
}

/** Day time rounded down to `quantum` milliseconds: drawn again only when that changes. */
export function useDayNow(quantum: number): Instant {
  const { store } = useLink()
  const read = () => {
    const { clock } = store.get()
    return clock === null ? 0 : Math.floor(dayNow(clock, Date.now()) / quantum) * quantum
  }
  return useSyncExternalStore(everyTick, read, read)
}

/** Wall time rounded down to a second. */
export function useWallSecond(): number {
  const read = () => Math.floor(Date.now() / 1_000) * 1_000
  return useSyncExternalStore(everyTick, read, () => 0)
}
