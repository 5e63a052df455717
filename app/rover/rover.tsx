'use client'
import type { ReactNode } from 'react'
import { BoardProvider, useBoard, useOpenBoard } from '../live/useBoard.ts'
import { useDays } from '../live/useDays.ts'
import { DayChoice } from '../parts/dayChoice.tsx'
import { Errands } from './errands.tsx'
import css from './rover.module.css'

type Person = { id: string; post: string | null }

/** Finds the rover's day and opens its board; until then it says plainly what is missing. */
export function RoverOf({ person, wanted }: { person: Person; wanted: string | null }) {
  const asked = useDays(wanted)
  const { days, problem, again } = asked
  const day = person.post === null ? null : asked.day
  const link = useOpenBoard(day)
  if (person.post === null)
    return (
      <Message title="No rover of the plan is yours yet">
        <p>
          You are signed in as a rover, but nobody said which rover of the plan you are. Ask who sets up your
          county’s Sunup to give you your post, then open this page again.
        </p>
      </Message>
    )
  if (problem !== null)
    return (
      <Message title="No errands to show">
        <p role="alert">{problem}</p>
        <button type="button" className={css.press} onClick={again}>
          Ask again
        </button>
      </Message>
    )
  if (day === null && days !== null)
    return days.length === 0 ? (
      <Message title="No day yet">
        <p>No day has been opened. When one is, your errands stand here.</p>
      </Message>
    ) : (
      <Message title="Which day?">
        <DayChoice days={days} page="/rover" className={css.days} itemClassName={css.press} />
      </Message>
    )
  if (day === null || link === null) return <Waiting words="Looking for the day…" />
  return (
    <BoardProvider value={link}>
      <Arriving day={day} person={person.id} post={person.post} />
    </BoardProvider>
  )
}

function Arriving({ day, person, post }: { day: string; person: string; post: string }) {
  const plan = useBoard(s => s.plan)
  const refused = useBoard(s => s.refused)
  const lost = useBoard(s => s.link.is === 'lost')
  if (plan !== null) {
    const rover = plan.rovers.find(r => r.code === post)
    if (rover) return <Errands day={day} person={person} rover={rover} />
    return (
      <Message title="You are not in this day’s plan">
        <p>
          Your post is “{post}”, and {plan.county}’s plan for {plan.name} names no such rover. Ask who sets up
          your county’s Sunup, or <a href="/rover">choose another day</a>.
        </p>
      </Message>
    )
  }
  if (refused !== null)
    return (
      <Message title="No errands to show">
        <p role="alert">{refused}</p>
      </Message>
    )
  return (
    <Waiting words={lost ? 'The server could not be reached. Trying again…' : 'Fetching your errands…'} />
  )
}

function Waiting({ words }: { words: string }) {
  return (
    <main className={css.page}>
      <h1>Errands</h1>
      <p role="status">{words}</p>
    </main>
  )
}

function Message({ title, children }: { title: string; children: ReactNode }) {
  return (
    <main className={css.page}>
      <h1>{title}</h1>
      {children}
    </main>
  )
}
