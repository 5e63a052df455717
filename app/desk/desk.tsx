'use client'
import { useEffect, useState } from 'react'
import { type Role, roleMay } from '../../server/protocol/roles.ts'
import { BoardProvider, useBoard, useOpenBoard } from '../live/useBoard.ts'
import { Board } from './board.tsx'
import css from './desk.module.css'

type Person = { id: string; name: string; role: Role }
type DayBrief = { id: string; name?: string; county?: string }

/** Finds the day, opens its board, and says plainly what is missing until it is there. */
export function DeskOf({ person, wanted }: { person: Person; wanted: string | null }) {
  const [days, setDays] = useState<DayBrief[] | null>(null)
  const [problem, setProblem] = useState<string | null>(null)
  const [round, setRound] = useState(0)
  // biome-ignore lint/correctness/useExhaustiveDependencies: round asks again
  useEffect(() => {
    if (wanted !== null) return
    const gone = new AbortController()
    setProblem(null)
    fetch('/api/v1/days', { signal: gone.signal })
      .then(async answer => {
        if (!answer.ok) throw new Error(`The server answered ${answer.status}.`)
        setDays(((await answer.json()) as { days: DayBrief[] }).days)
      })
      .catch(error => {
        if (!gone.signal.aborted)
          setProblem(
            error instanceof TypeError ? 'The server could not be reached.' : (error as Error).message,
          )
      })
    return () => gone.abort()
  }, [wanted, round])

  const only = days?.length === 1 ? days[0]!.id : null
  const day = wanted ?? only
  const link = useOpenBoard(day)
  if (problem !== null)
    return (
      <Message title="No picture">
        <p role="alert">{problem}</p>
        <p>
          <button type="button" className="button" onClick={() => setRound(r => r + 1)}>
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
        <ul>
          {days.map(d => (
            <li key={d.id}>
              <a href={`/desk?day=${encodeURIComponent(d.id)}`}>
                {d.name ? `${d.county ?? ''} ${d.name}` : d.id}
              </a>
            </li>
          ))}
        </ul>
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
