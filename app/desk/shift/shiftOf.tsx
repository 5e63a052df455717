'use client'
import { BoardProvider, useBoard, useOpenBoard } from '../../live/useBoard.ts'
import { Shift } from './shift.tsx'

/** Opens the day's board; the sheet follows it, so that what is printed is what stands then. */
export function ShiftOf({ day, me }: { day: string; me: { id: string; name: string } }) {
  const link = useOpenBoard(day)
  if (link === null) return <p style={{ padding: 20 }}>Fetching the picture…</p>
  return (
    <BoardProvider value={link}>
      <Arriving day={day} me={me} />
    </BoardProvider>
  )
}

function Arriving({ day, me }: { day: string; me: { id: string; name: string } }) {
  const ready = useBoard(s => s.plan !== null)
  const refused = useBoard(s => s.refused)
  if (ready) return <Shift day={day} me={me} />
  return <p style={{ padding: 20 }}>{refused ?? 'Fetching the picture…'}</p>
}
