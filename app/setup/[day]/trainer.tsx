'use client'
import { useId, useState } from 'react'
import type { z } from 'zod'
import { done, type setupPlan, type trainerFaults } from '../../../server/protocol/setup.ts'
import type { SetupDay } from '../days.tsx'
import { Problems } from '../problems.tsx'
import css from '../setup.module.css'
import { useDoing } from '../useDoing.ts'

type Fault = (typeof trainerFaults)[number]
type Precincts = z.output<typeof setupPlan>['precincts']

/** What a trainer lets happen, in words; each trouble with its end beside it. */
const faults: ReadonlyArray<[Fault, string]> = [
  ['tabulator-down', 'The tabulator goes down'],
  ['tabulator-back', 'The tabulator works again'],
  ['slot-left-open', 'The emergency slot is left open'],
  ['accessible-down', 'The accessible station goes down'],
  ['accessible-back', 'The accessible station works again'],
  ['long-line', 'A long line grows'],
  ['line-short', 'The line is short again'],
  ['ballots-low', 'Few ballots are left'],
  ['help-asked', 'The precinct asks for help'],
  ['seal-different', 'A seal has another number'],
  ['tablet-dies', 'The tablet dies'],
  ['tablet-back', 'The tablet is back'],
]
const speeds = [0, 1, 10, 30, 60, 120] as const

/** The trainer's desk while a practice runs: how fast, and what goes wrong where. */
export function Trainer({
  day,
  precincts,
  onDone,
}: {
  day: SetupDay
  precincts: Precincts
  onDone(): Promise<void>
}) {
  const id = useId()
  const clock = useDoing()
  const fault = useDoing()
  const [precinct, setPrecinct] = useState(precincts[0]?.code ?? '')
  const [what, setWhat] = useState<Fault>('tabulator-down')
  const path = `days/${encodeURIComponent(day.id)}`
  const named = precincts.find(p => p.code === precinct)?.name ?? precinct
  const words = faults.find(([f]) => f === what)?.[1] ?? what
  return (
    <section aria-labelledby="trainer">
      <h2 id="trainer">While it runs</h2>
      <fieldset className={css.row}>
        <legend>Clock</legend>
        {speeds.map(speed => (
          <button
            key={speed}
            type="button"
            className={`button ${day.clock?.speed === speed ? '' : 'quiet'}`}
            aria-pressed={day.clock?.speed === speed}
            disabled={clock.busy || day.morningUntil !== null}
            onClick={() => void clock.run(`${path}/speed`, done, { speed }).then(onDone)}
          >
            {speed === 0 ? 'stand still' : speed === 1 ? 'as a real day' : `${speed} times`}
          </button>
        ))}
      </fieldset>
      <Problems problems={clock.problems} />
      {day.simulated ? (
        <form
          className={css.row}
          onSubmit={event => {
            event.preventDefault()
            void fault.run(`${path}/fault`, done, { precinct, what }, `${named}: ${words.toLowerCase()}.`)
          }}
        >
          <label htmlFor={`${id}-where`}>Let happen at</label>
          <select id={`${id}-where`} value={precinct} onChange={event => setPrecinct(event.target.value)}>
            {precincts.map(p => (
              <option key={p.code} value={p.code}>
                {p.name}
              </option>
            ))}
          </select>
          <label htmlFor={`${id}-what`}>what</label>
          <select id={`${id}-what`} value={what} onChange={event => setWhat(event.target.value as Fault)}>
            {faults.map(([f, title]) => (
              <option key={f} value={f}>
                {title}
              </option>
            ))}
          </select>
          <button type="submit" className="button" disabled={fault.busy}>
            Let it happen
          </button>
          <span role="status">{fault.said}</span>
        </form>
      ) : (
        <p>No simulated tablets speak on this day, so nothing can be made to happen: people say it.</p>
      )}
      <Problems problems={fault.problems} />
    </section>
  )
}
