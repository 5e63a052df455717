'use client'
import { useId, useState } from 'react'
import { done } from '../../../server/protocol/setup.ts'
import type { SetupDay } from '../days.tsx'
import { Problems } from '../problems.tsx'
import css from '../setup.module.css'
import { useDoing } from '../useDoing.ts'

/** Opens an election day, or begins a practice: whichever this day can do now. */
export function Opening({ day, onDone }: { day: SetupDay; onDone(): Promise<void> }) {
  const { busy, problems, said, run } = useDoing()
  const path = `days/${encodeURIComponent(day.id)}`
  if (day.is === 'closed')
    return (
      <section aria-labelledby="opening">
        <h2 id="opening">Closed</h2>
        <p>This day is closed: nothing can be added to its record. It can be looked at under Review.</p>
      </section>
    )
  if (day.kind === 'election') {
    if (day.is === 'running') return null
    return (
      <section aria-labelledby="opening">
        <h2 id="opening">Open the day</h2>
        <p>
          It runs by the real clock from then on, also after a restart of the server. From its first entry on
          its plan stands: correct the plan before.
        </p>
        <Problems problems={problems} />
        <p>
          <button
            type="button"
            className="button"
            disabled={busy}
            onClick={() => void run(`${path}/open`, done, {}, 'Opened.').then(onDone)}
          >
            Open this day
          </button>{' '}
          <span role="status">{said}</span>
        </p>
      </section>
    )
  }
  if (day.is === 'running' && day.trouble === null) return null
  return <Practise day={day} onDone={onDone} />
}

function Practise({ day, onDone }: { day: SetupDay; onDone(): Promise<void> }) {
  const id = useId()
  const { busy, problems, said, run } = useDoing()
  const fresh = day.is === 'kept'
  const [speed, setSpeed] = useState('30')
  const [from, setFrom] = useState('')
  const [seed, setSeed] = useState('1')
  const [simulated, setSimulated] = useState(true)
  const start = () =>
    run(
      `days/${encodeURIComponent(day.id)}/practise`,
      done,
      { speed: Number(speed), simulated, seed: Number(seed), ...(fresh && from !== '' ? { from } : {}) },
      'It runs.',
    ).then(onDone)
  return (
    <section aria-labelledby="opening">
      <h2 id="opening">{fresh ? 'Practise this day' : 'Go on with the practice'}</h2>
      <form
        className={css.form}
        onSubmit={event => {
          event.preventDefault()
          void start()
        }}
      >
        <p>
          <label htmlFor={`${id}-speed`}>How fast its clock runs</label>
          <input
            id={`${id}-speed`}
            inputMode="decimal"
            value={speed}
            onChange={event => setSpeed(event.target.value)}
            aria-describedby={`${id}-speed-more`}
          />
          <span id={`${id}-speed-more`} className="soft">
            times the real one, 0.1 to 600: at 30 a sixteen-hour day takes about half an hour
          </span>
        </p>
        {fresh && (
          <p>
            <label htmlFor={`${id}-from`}>Begin at</label>
            <input
              id={`${id}-from`}
              type="time"
              value={from}
              onChange={event => setFrom(event.target.value)}
            />
            <span className="soft">
              the morning before is played quickly; empty: with the day’s beginning
            </span>
          </p>
        )}
        <p>
          <label>
            <input
              type="checkbox"
              checked={simulated}
              onChange={event => setSimulated(event.target.checked)}
            />{' '}
            Simulated tablets speak for the precincts
          </label>
          <span className="soft">without them only people speak, by tablet or telephone</span>
        </p>
        {fresh && simulated && (
          <p>
            <label htmlFor={`${id}-seed`}>Which day is drawn</label>
            <input
              id={`${id}-seed`}
              inputMode="numeric"
              value={seed}
              onChange={event => setSeed(event.target.value)}
            />
            <span className="soft">a number; the same number gives the same troubles</span>
          </p>
        )}
        <Problems problems={problems} />
        <p>
          <button type="submit" className="button" disabled={busy}>
            {fresh ? 'Begin the practice' : 'Go on'}
          </button>{' '}
          <span role="status">{said}</span>
        </p>
      </form>
    </section>
  )
}
