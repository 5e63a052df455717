'use client'
import { useId, useState } from 'react'
import { done } from '../../../server/protocol/setup.ts'
import type { SetupDay } from '../days.tsx'
import { Problems } from '../problems.tsx'
import css from '../setup.module.css'
import { useDoing } from '../useDoing.ts'

/** Closing is for good, so its id is typed. */
export function Closing({ day, onDone }: { day: SetupDay; onDone(): Promise<void> }) {
  const id = useId()
  const { busy, problems, run } = useDoing()
  const [typed, setTyped] = useState('')
  return (
    <section aria-labelledby="closing">
      <h2 id="closing">Close the day</h2>
      <p>
        For good: no device and nobody at the desk can add to its record any more. Devices still holding
        reports can’t deliver them. Close when the last return is checked in and the situation sheet is
        printed.
      </p>
      <form
        className={css.row}
        onSubmit={event => {
          event.preventDefault()
          void run(`days/${encodeURIComponent(day.id)}/close`, done, { confirm: typed.trim() }).then(onDone)
        }}
      >
        <label htmlFor={id}>
          Type <code>{day.id}</code> to close it
        </label>
        <input
          id={id}
          value={typed}
          autoComplete="off"
          spellCheck={false}
          size={40}
          onChange={event => setTyped(event.target.value)}
        />
        <button type="submit" className="button quiet" disabled={busy || typed.trim() === ''}>
          Close this day for good
        </button>
      </form>
      <Problems problems={problems} />
    </section>
  )
}
