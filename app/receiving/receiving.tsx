'use client'
import { BoardProvider, useBoard, useOpenBoard } from '../live/useBoard.ts'
import { useDays } from '../live/useDays.ts'
import { DayChoice } from '../parts/dayChoice.tsx'
import css from './receiving.module.css'
import { ReceivingTable } from './receivingTable.tsx'

type Props = { wanted: string | null; post: string | null }

/** Finds the day and opens its board; until then it says what is missing. */
export function ReceivingOf({ wanted, post }: Props) {
  const { days, day, problem, again } = useDays(wanted)
  const link = useOpenBoard(day)
  if (problem !== null)
    return (
      <Message>
        <p role="alert">{problem}</p>
        <button type="button" className="button" onClick={again}>
          Ask again
        </button>
      </Message>
    )
  if (day === null && days !== null)
    return (
      <Message>
        {days.length === 0 ? (
          <p>No day has been loaded yet. An administrator opens one, then returns are received here.</p>
        ) : (
          <>
            <p>Which day?</p>
            <DayChoice days={days} page="/receiving" />
          </>
        )}
      </Message>
    )
  if (day === null || link === null)
    return (
      <Message>
        <p role="status">Looking for the day…</p>
      </Message>
    )
  return (
    <BoardProvider value={link}>
      <Arriving day={day} post={post} />
    </BoardProvider>
  )
}

function Arriving({ day, post }: { day: string; post: string | null }) {
  const ready = useBoard(s => s.plan !== null)
  const refused = useBoard(s => s.refused)
  const lost = useBoard(s => s.link.is === 'lost')
  if (ready) return <ReceivingTable day={day} post={post} />
  return (
    <Message>
      {refused !== null ? (
        <p role="alert">{refused}</p>
      ) : (
        <p role="status">
          {lost ? 'The server could not be reached. Trying again…' : 'Fetching the returns…'}
        </p>
      )}
    </Message>
  )
}

function Message({ children }: { children: React.ReactNode }) {
  return (
    <main className={css.message}>
      <h1>Receiving</h1>
      {children}
    </main>
  )
}
