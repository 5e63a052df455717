'use client'
import { useEffect, useState } from 'react'
import type { Phones } from '../../../server/protocol/board.ts'
import { BoardProvider, useBoard, useOpenBoard } from '../../live/useBoard.ts'
import { Sheet } from './sheet.tsx'

type PhonesState = { phones: Phones['phones'] | null; problem: string | null; settled: boolean }

/** Fetches one picture and the telephone numbers, then holds both still: a sheet doesn't move while it prints. */
export function SheetOf({ day, seesPhones }: { day: string; seesPhones: boolean }) {
  const link = useOpenBoard(day)
  const [state, setState] = useState<PhonesState>({ phones: null, problem: null, settled: !seesPhones })
  useEffect(() => {
    if (!seesPhones) return
    const gone = new AbortController()
    fetch(`/api/v1/days/${encodeURIComponent(day)}/phones`, { signal: gone.signal })
      .then(async answer => {
        if (!answer.ok) throw new Error(`the server answered ${answer.status}`)
        setState({ phones: ((await answer.json()) as Phones).phones, problem: null, settled: true })
      })
      .catch(error => {
        if (!gone.signal.aborted)
          setState({ phones: null, problem: String((error as Error).message), settled: true })
      })
    return () => gone.abort()
  }, [day, seesPhones])
  if (link === null || !state.settled) return <p style={{ padding: 20 }}>Fetching the picture…</p>
  return (
    <BoardProvider value={link}>
      <Held phones={state.phones} problem={state.problem} />
    </BoardProvider>
  )
}

function Held({ phones, problem }: Pick<PhonesState, 'phones' | 'problem'>) {
  const state = useBoard(s => s)
  const [held, setHeld] = useState<typeof state | null>(null)
  useEffect(() => {
    if (held === null && state.plan !== null) setHeld(state)
  }, [state, held])
  if (state.refused !== null && held === null) return <p style={{ padding: 20 }}>{state.refused}</p>
  if (held === null) return <p style={{ padding: 20 }}>Fetching the picture…</p>
  return <Sheet state={held} phones={phones} problem={problem} />
}
