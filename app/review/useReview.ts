'use client'
import { useCallback, useEffect, useRef, useState } from 'react'
import type { BoardForecasts } from '../../server/domain/forecast/onBoard.ts'
import type { Difference } from '../../server/domain/review/differences.ts'
import { type Instant, MINUTE } from '../../server/domain/time.ts'
import type { DayMarks, View } from '../../server/protocol/review.ts'
import { makeAsking } from '../live/asking.ts'
import { makeStillBoard, type StillBoard } from '../live/stillBoard.ts'
import { askForecasts, askMarks, askPicture, type Picture } from './asked.ts'
import { addressFor, clamped, type Moment } from './moments.ts'

/** The picture that is shown: its instant and entry, and what was not known then. */
export type Shown = { at: Instant; position: number; view: View; differences: Difference[] | null }

export type Reviewing = {
  marks: DayMarks | null
  shown: Shown | null
  /** Where the slider stands: the shown picture's instant, or the one that is asked for. */
  at: Instant
  view: View
  playing: boolean
  problem: string | null
  board: StillBoard
  go(moment: Moment): void
  look(view: View): void
  play(on: boolean): void
  again(): void
}

/** A minute of the day each second. */
const PLAY_MS = 1_000
/** A running day goes on: how far the slider reaches is asked for anew. */
const MARKS_MS = 15_000

type Wish = { moment: Moment; view: View }

/** A day under review: its marks, the pictures asked for one by one, and playing. */
export function useReview(day: string, begin: { at: Instant | null; view: View }): Reviewing {
  const [board] = useState(() => makeStillBoard(() => Date.now()))
  const [marks, setMarks] = useState<DayMarks | null>(null)
  const [shown, setShown] = useState<Shown | null>(null)
  const [at, setAt] = useState<Instant>(begin.at ?? 0)
  const [view, setView] = useState<View>(begin.view)
  const [playing, setPlaying] = useState(false)
  const [problem, setProblem] = useState<string | null>(null)
  const [round, setRound] = useState(0)
  const now = useRef({ at, view, marks })
  now.current = { at, view, marks }
  const asking = useRef<ReturnType<typeof makeAsking<Wish, Picture>> | null>(null)

  const go = useCallback((moment: Moment) => {
    const { marks: known, view: by } = now.current
    if ('at' in moment) {
      const to = known ? clamped(moment.at, known) : moment.at
      now.current.at = to
      setAt(to)
      asking.current?.wish({ moment: { at: to }, view: by })
    } else asking.current?.wish({ moment, view: by })
  }, [])

  // biome-ignore lint/correctness/useExhaustiveDependencies: round asks again
  useEffect(() => {
    // Asked for after the picture, one at a time, and only for the one that is shown by then.
    const foreseeing = makeAsking<number, BoardForecasts | null>({
      ask: position => askForecasts(day, position),
      show: (forecasts, position) => board.foresee(position, forecasts),
      failed: () => {},
      serves: (asked, wished) => asked === wished,
      wall: () => performance.now(),
      later: (milliseconds, what) => void setTimeout(what, milliseconds),
    })
    const made = makeAsking<Wish, Picture>({
      ask: wish => askPicture(day, wish.moment, wish.view),
      show: ({ snapshot, view: by, differences }, { moment }) => {
        board.show(snapshot, by)
        if (by === 'known') foreseeing.wish(snapshot.cursor)
        setProblem(null)
        setShown({ at: snapshot.now, position: snapshot.cursor, view: by, differences })
        if (!('at' in moment)) setAt(snapshot.now)
        history.replaceState(null, '', addressFor(day, snapshot.now, by))
      },
      failed: error => setProblem((error as Error).message),
      serves: (asked, wished) => asked.view === wished.view,
      wall: () => performance.now(),
      later: (milliseconds, what) => void setTimeout(what, milliseconds),
    })
    asking.current = made
    let ended = false
    const learn = (first: boolean) =>
      askMarks(day).then(
        learnt => {
          if (ended) return
          setMarks(learnt)
          now.current.marks = learnt
          if (first) go({ at: now.current.at === 0 ? learnt.last : now.current.at })
        },
        error => {
          if (!ended) setProblem((error as Error).message)
        },
      )
    void learn(true)
    const timer = setInterval(() => {
      if (now.current.marks?.running && document.visibilityState === 'visible') void learn(false)
    }, MARKS_MS)
    return () => {
      ended = true
      made.end()
      foreseeing.end()
      clearInterval(timer)
    }
  }, [day, board, go, round])

  useEffect(() => {
    if (!playing) return
    const timer = setInterval(() => {
      const { at: from, marks: known } = now.current
      if (!known || from >= known.last) setPlaying(false)
      else go({ at: from + MINUTE })
    }, PLAY_MS)
    return () => clearInterval(timer)
  }, [playing, go])

  return {
    marks,
    shown,
    at,
    view,
    playing,
    problem,
    board,
    go,
    look: next => {
      setView(next)
      now.current.view = next
      go({ at: now.current.at })
    },
    play: setPlaying,
    again: () => setRound(r => r + 1),
  }
}
