'use client'
import { useEffect, useState } from 'react'
import type { EntryOnWire } from '../../../server/protocol/board.ts'
import type { ReturnOnWire, ReturnsAnswer } from '../../../server/protocol/returns.ts'
import { BoardProvider, useBoard, useOpenBoard, usePlan } from '../../live/useBoard.ts'
import { Receipt } from './receipt.tsx'

type Asked = { one: ReturnOnWire; entry: EntryOnWire } | { problem: string } | null

/** One return and the entry that received it, fetched once and held still: a receipt doesn't move while it prints. */
export function ReceiptOf({ day, precinct }: { day: string; precinct: string }) {
  const link = useOpenBoard(day)
  const [asked, setAsked] = useState<Asked>(null)
  useEffect(() => {
    const gone = new AbortController()
    askFor(day, precinct, gone.signal)
      .then(setAsked)
      .catch(error => {
        if (gone.signal.aborted) return
        const problem =
          error instanceof TypeError ? 'The server could not be reached.' : String(error.message)
        setAsked({ problem })
      })
    return () => gone.abort()
  }, [day, precinct])
  if (link === null || asked === null) return <Told words="Fetching the receipt…" />
  if ('problem' in asked) return <Told words={asked.problem} />
  return (
    <BoardProvider value={link}>
      <WithPlan one={asked.one} entry={asked.entry} />
    </BoardProvider>
  )
}

function WithPlan({ one, entry }: { one: ReturnOnWire; entry: EntryOnWire }) {
  const ready = useBoard(s => s.plan !== null)
  const refused = useBoard(s => s.refused)
  const plan = usePlan()
  if (!ready) return <Told words={refused ?? 'Fetching the receipt…'} />
  return <Receipt plan={plan} one={one} entry={entry} />
}

function Told({ words }: { words: string }) {
  return (
    <main style={{ padding: 20 }}>
      <p role="status">{words}</p>
    </main>
  )
}

async function askFor(day: string, precinct: string, signal: AbortSignal): Promise<Asked> {
  const base = `/api/v1/days/${encodeURIComponent(day)}`
  const get = async <T,>(path: string): Promise<T> => {
    const answer = await fetch(base + path, { signal })
    if (answer.status === 401) throw new Error('The session has ended.')
    if (!answer.ok) throw new Error(`The server answered ${answer.status}.`)
    return (await answer.json()) as T
  }
  const { returns } = await get<ReturnsAnswer>(`/returns?precinct=${encodeURIComponent(precinct)}`)
  const one = returns[0]
  if (!one?.received) return { problem: 'This return is not received yet: there is no receipt.' }
  if (one.received.via !== 'desk')
    return { problem: 'This return was only said to be received. Check it in; then there is a receipt.' }
  const { position } = one.received
  const log = await get<{ entries: EntryOnWire[] }>(`/log?after=${position - 1}&limit=1`)
  const entry = log.entries[0]
  if (entry?.position !== position) return { problem: 'The entry of this check-in could not be read.' }
  return { one, entry }
}
