'use client'
import { useEffect, useState } from 'react'
import type { ReviewDays } from '../../server/protocol/review.ts'
import { Board } from '../desk/board.tsx'
import { BoardProvider } from '../live/useBoard.ts'
import { askDays } from './asked.ts'
import { Band } from './band.tsx'
import { Controls } from './controls.tsx'
import { type Address, addressOf } from './moments.ts'
import css from './review.module.css'
import { Slider } from './slider.tsx'
import { useReview } from './useReview.ts'

/** The review of a day: which one, and then its record. */
export function ReviewOf() {
  const [asked, setAsked] = useState<Address | null>(null)
  useEffect(() => setAsked(addressOf(location.search)), [])
  if (asked === null) return <p className={css.note}>Looking for the day…</p>
  if (asked.day === null) return <Choose />
  return <Reviewed key={asked.day} day={asked.day} begin={asked} />
}

const IS = { running: 'running', stopped: 'not running now', closed: 'closed' } as const

function Choose() {
  const [days, setDays] = useState<ReviewDays['days'] | null>(null)
  const [problem, setProblem] = useState<string | null>(null)
  const [round, setRound] = useState(0)
  // biome-ignore lint/correctness/useExhaustiveDependencies: round asks again
  useEffect(() => {
    setProblem(null)
    askDays().then(setDays, error => setProblem((error as Error).message))
  }, [round])
  return (
    <main className={css.choose}>
      <h1>Review a day</h1>
      <p>
        The board as the office knew it at any instant, by the same record that the log keeps. It is an
        operational picture: no votes, no results.
      </p>
      {problem !== null && <Problem words={problem} again={() => setRound(r => r + 1)} />}
      {days === null && problem === null && <p role="status">Asking for the days…</p>}
      {days?.length === 0 && <p>No day has a record yet.</p>}
      {days !== null && days.length > 0 && (
        <ul>
          {days.map(day => (
            <li key={day.id}>
              <a href={`/review?day=${encodeURIComponent(day.id)}`}>
                {day.county}, {day.name}
              </a>{' '}
              <span className="soft">
                {day.date}
                {day.kind === 'practice' && ', practice day'}, {IS[day.is]}
              </span>
            </li>
          ))}
        </ul>
      )}
    </main>
  )
}

/** Calls that somebody had are nobody's here. */
const NOBODY = { id: '', name: '' }

function Reviewed({ day, begin }: { day: string; begin: Address }) {
  const review = useReview(day, begin)
  const { marks, shown, problem, board, again } = review
  const [wanted, setWanted] = useState<{ code: string } | null>(null)
  if (marks === null || shown === null)
    return (
      <main className={css.choose}>
        <h1>Review</h1>
        {problem === null ? (
          <p role="status">Reading the record…</p>
        ) : (
          <>
            <Problem words={problem} again={again} />
            <p>
              <a href="/review">Choose another day</a>
            </p>
          </>
        )}
      </main>
    )
  return (
    <BoardProvider value={board.link}>
      <div className={css.review}>
        <section className={css.time} aria-label="Instant of the record">
          <Band review={review} marks={marks} shown={shown} onOpen={code => setWanted({ code })} />
          <Controls review={review} marks={marks} shown={shown} />
          <Slider marks={marks} at={review.at} go={review.go} />
        </section>
        <Board day={day} me={NOBODY} mayAct={false} wanted={wanted} />
      </div>
    </BoardProvider>
  )
}

function Problem({ words, again }: { words: string; again(): void }) {
  return (
    <p className="wrong" role="alert">
      {words}{' '}
      <button type="button" className="button quiet" onClick={again}>
        Ask again
      </button>
    </p>
  )
}
