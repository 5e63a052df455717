'use client'
import { useEffect, useMemo, useSyncExternalStore } from 'react'
import { z } from 'zod'
import { standingAfter } from '../../server/domain/day/errand.ts'
import type { ErrandStanding } from '../../server/domain/day/state.ts'
import { freshId } from '../live/socket.ts'
import { useBoard, useLink } from '../live/useBoard.ts'
import { MOVES } from '../parts/errandWords.ts'
import { makeTaps, type Tap, type Taps, type TapsState } from './taps.ts'

const commands = MOVES.map(m => m.command)
const kept = z.array(
  z.object({
    id: z.uuid(),
    command: z.enum(commands as [(typeof commands)[number], ...typeof commands]),
    errand: z.string(),
    words: z.string().nullable(),
    at: z.number(),
  }),
)

/** Taps of one person on one day, kept in this browser. What is there and can't be read is left aside. */
function keep(key: string) {
  return {
    load(): Tap[] {
      try {
        return kept.safeParse(JSON.parse(localStorage.getItem(key) ?? '[]')).data ?? []
      } catch {
        return []
      }
    },
    save(taps: readonly Tap[]): boolean {
      try {
        if (taps.length === 0) localStorage.removeItem(key)
        else localStorage.setItem(key, JSON.stringify(taps))
        return true
      } catch {
        return false
      }
    },
  }
}

/** The person's taps: sent whenever there is a link, and freed when the picture has them. */
export function useTaps(day: string, person: string): { taps: Taps; state: TapsState } {
  const { send } = useLink()
  const taps = useMemo(
    () =>
      makeTaps({
        ...keep(`sunup.taps.${day}.${person}`),
        send,
        wall: () => Date.now(),
        freshId,
        later: (milliseconds, what) => void setTimeout(what, milliseconds),
      }),
    [day, person, send],
  )
  const state = useSyncExternalStore(taps.listen, taps.get, taps.get)
  const connected = useBoard(s => s.link.is === 'connected')
  const cursor = useBoard(s => s.cursor)
  useEffect(() => {
    if (connected) taps.flush()
  }, [connected, taps])
  useEffect(() => taps.seen(cursor), [cursor, taps])
  return { taps, state }
}

/** Where an errand stands once what was pressed for it is taken. */
export function pressedTo(errand: { id: string; is: ErrandStanding }, state: TapsState): ErrandStanding {
  let is = errand.is
  for (const tap of [...state.taken, ...state.waiting]) {
    if (tap.errand !== errand.id) continue
    const move = MOVES.find(m => m.command === tap.command)
    if (move) is = standingAfter[move.kind]
  }
  return is
}
