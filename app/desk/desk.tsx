'use client'
import { type Role, roleMay } from '../../server/protocol/roles.ts'
import { BoardProvider, useBoard, useOpenBoard } from '../live/useBoard.ts'
import { useDays } from '../live/useDays.ts'
import { DayChoice } from '../parts/dayChoice.tsx'
import { Board } from './board.tsx'
import css from './desk.module.css'

type Person = { id: string; name: string; role: Role }

/** Finds the day, opens its board, and says plainly what is missing until it is there. */
export function DeskOf({ person, wanted }: { person: Person; wanted: string | null }) {
  const { days, day, problem, again } = useDays(wanted)
  const link = useOpenBoard(day)
  if (problem !== null)
    return (
      <Message title="No picture">
        <p role="alert">{problem}</p>
        <p>
          <button type="button" className="button" onClick={again}>
            Ask again
          </button>
        </p>
      </Message>
    )
  if (day === null && days !== null)
    return days.length === 0 ? (
      <Message title="No day yet">
        <p>No day has been loaded. An administrator imports a plan, then the desk opens here.</p>
      </Message>
    ) : (
      <Message title="Which day?">
        <DayChoice days={days} page="/desk" />
      </Message>
    )
  if (day === null || link === null) return <Waiting words="Looking for the day…" />
  return (
    <BoardProvider value={link}>
      <Arriving day={day} person={person} />
    </BoardProvider>
  )
}

function Arriving({ day, person }: { day: string; person: Person }) {
  const ready = useBoard(s => s.plan !== null)
  const refused = useBoard(s => s.refused)
  const lost = useBoard(s => s.link.is === 'lost')
  if (ready)
    return (
      <Board
        day={day}
        me={{ id: person.id, name: person.name, role: person.role }}
        mayAct={roleMay(person.role, 'TakeCall')}
      />
    )
  if (refused !== null)
    return (
      <Message title="No picture">
        <p role="alert">{refused}</p>
      </Message>
    )
  return <Waiting words={lost ? 'The server could not be reached. Trying again…' : 'Fetching the picture…'} />
}

/** The paper with its rules, before anything stands on it. */
function Waiting({ words }: { words: string }) {
  return (
    <div className={css.waiting}>
      <p role="status">{words}</p>
      <div aria-hidden="true" className={css.lines} />
    </div>
  )
}

function Message({ title, children }: { title: string; children: React.ReactNode }) {
  return (
    <main className={css.message}>
      <h1>{title}</h1>
      {children}
    </main>
  )
}
