'use client'
import { useMemo, useState } from 'react'
import { dateOf } from '../../server/domain/plan/zone.ts'
import { MINUTE } from '../../server/domain/time.ts'
import type { DayMarks, View } from '../../server/protocol/review.ts'
import { useKeys } from '../desk/useKeys.ts'
import { clockWords } from '../live/clock.ts'
import { datesOf, dateWords, reasonFrom, STEPS, typedInstant } from './moments.ts'
import css from './review.module.css'
import type { Reviewing, Shown } from './useReview.ts'

type Props = { review: Reviewing; marks: DayMarks; shown: Shown }

const HELD = ['[', ']']
const VIEWS: ReadonlyArray<[View, string]> = [
  ['known', 'As known'],
  ['happened', 'As happened'],
]

/** Everything that moves the instant, by hand and by key. */
export function Controls({ review, marks, shown }: Props) {
  const { at, view, playing, go, look, play } = review
  const earlier = reasonFrom(marks, at, -1)
  const later = reasonFrom(marks, at, 1)
  const byHand = (move: () => void) => () => {
    play(false)
    move()
  }
  const step = (by: number) => byHand(() => go({ at: at + by }))
  const reason = (to: number | null) => byHand(() => to !== null && go({ at: to }))
  const keys = {
    '[': step(-MINUTE),
    ']': step(MINUTE),
    b: reason(earlier),
    n: reason(later),
    p: () => play(!playing),
  }
  useKeys(keys, HELD)
  const minutes = (n: number) => `${n} ${n === 1 ? 'minute' : 'minutes'}`
  return (
    <div className={css.controls}>
      <div className={css.group}>
        {[...STEPS].reverse().map(({ minutes: n, by }) => (
          <button
            key={n}
            type="button"
            className="button quiet"
            aria-label={`${minutes(n)} earlier`}
            disabled={at <= marks.first}
            onClick={step(-by)}
          >
            −{n}
          </button>
        ))}
        <TimeField review={review} marks={marks} />
        {STEPS.map(({ minutes: n, by }) => (
          <button
            key={n}
            type="button"
            className="button quiet"
            aria-label={`${minutes(n)} later`}
            disabled={at >= marks.last}
            onClick={step(by)}
          >
            +{n}
          </button>
        ))}
      </div>
      <div className={css.group}>
        <button
          type="button"
          className="button quiet"
          disabled={view !== 'known' || shown.position <= 1}
          onClick={byHand(() => go({ position: shown.position - 1 }))}
        >
          Entry before
        </button>
        <button
          type="button"
          className="button quiet"
          disabled={view !== 'known' || shown.position >= marks.entries}
          onClick={byHand(() => go({ position: shown.position + 1 }))}
        >
          Next entry
        </button>
      </div>
      <div className={css.group}>
        <button type="button" className="button quiet" disabled={earlier === null} onClick={reason(earlier)}>
          Reason before
        </button>
        <button type="button" className="button quiet" disabled={later === null} onClick={reason(later)}>
          Next reason
        </button>
      </div>
      <button
        type="button"
        className="button"
        disabled={!playing && at >= marks.last}
        onClick={() => play(!playing)}
      >
        {playing ? 'Pause' : 'Play'}
      </button>
      <fieldset className={css.views}>
        <legend className="vh">Which view</legend>
        {VIEWS.map(([key, words]) => (
          <label key={key}>
            <input type="radio" name="view" checked={view === key} onChange={() => look(key)} />
            {words}
          </label>
        ))}
      </fieldset>
    </div>
  )
}

/** HH:MM, with its date where the record passes midnight. What is typed counts once it is a time. */
function TimeField({ review, marks }: { review: Reviewing; marks: DayMarks }) {
  const { at, go, play } = review
  const { timeZone } = marks
  const dates = useMemo(() => datesOf(marks), [marks])
  const [typed, setTyped] = useState<string | null>(null)
  const date = dateOf(at, timeZone)
  const take = (text: string, on: string) => {
    const instant = typedInstant(on, text, timeZone)
    if (instant === null) return
    play(false)
    go({ at: instant })
    setTyped(null)
  }
  return (
    <form
      className={css.typed}
      onSubmit={event => {
        event.preventDefault()
        if (typed !== null) take(typed, date)
      }}
    >
      <input
        className={css.clock}
        aria-label="Time, HH:MM"
        inputMode="numeric"
        autoComplete="off"
        value={typed ?? clockWords(at, timeZone)}
        aria-invalid={typed !== null && typedInstant(date, typed, timeZone) === null ? true : undefined}
        onChange={event => {
          play(false)
          setTyped(event.target.value)
        }}
        onBlur={() => setTyped(null)}
      />
      {dates.length > 1 && (
        <select
          aria-label="Date"
          value={date}
          onChange={event => take(clockWords(at, timeZone), event.target.value)}
        >
          {dates.map(d => (
            <option key={d} value={d}>
              {dateWords(typedInstant(d, '12:00', timeZone)!, timeZone)}
            </option>
          ))}
        </select>
      )}
    </form>
  )
}
