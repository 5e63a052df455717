'use client'
import { type FormEvent, useId, useState } from 'react'
import type { CallLine } from '../../server/domain/day/row.ts'
import { MINUTE, toRfc3339 } from '../../server/domain/time.ts'
import { dayNow } from '../live/clock.ts'
import { useLink } from '../live/useBoard.ts'
import { useVoterGuard } from '../parts/useVoterGuard.ts'
import { OUTCOMES, type Outcome } from '../parts/vocabulary.ts'
import css from './callCard.module.css'
import { refusalWords, useDesk } from './deskContext.ts'
import { FormFoot } from './formFoot.tsx'
import { intoSight } from './intoSight.ts'
import { useSendOnce } from './useSendOnce.ts'

const WATCH_MINUTES = [10, 20, 30, 60]

/** How the call ended: an outcome, a note; Ctrl+Enter sends. */
export function LogForm({ line }: { line: CallLine }) {
  const id = useId()
  const { store } = useLink()
  const { setForm } = useDesk()
  const send = useSendOnce()
  const [outcome, setOutcome] = useState<Outcome | null>(null)
  const [watch, setWatch] = useState(20)
  const [note, setNote] = useState('')
  const [busy, setBusy] = useState(false)
  const [problem, setProblem] = useState<string | null>(null)
  const guard = useVoterGuard([note])

  async function submit(event?: FormEvent) {
    event?.preventDefault()
    if (busy) return
    if (outcome === null) {
      setProblem('Choose how it ended.')
      return
    }
    setProblem(null)
    if (guard.stops()) return
    const { clock } = store.get()
    const until =
      outcome === 'watching' && clock
        ? toRfc3339(Math.round(dayNow(clock, Date.now()) + watch * MINUTE))
        : undefined
    setBusy(true)
    const words = refusalWords(
      await send('LogCall', {
        precincts: [...line.precincts],
        outcome,
        ...(until ? { until } : {}),
        ...(note.trim() ? { note: note.trim() } : {}),
      }),
    )
    setBusy(false)
    setProblem(words)
    if (words === null) setForm(null)
  }

  return (
    <form
      ref={intoSight}
      className={css.form}
      onSubmit={submit}
      onKeyDown={event => {
        if (event.key === 'Enter' && (event.ctrlKey || event.metaKey)) submit()
      }}
    >
      <fieldset aria-invalid={problem !== null && outcome === null ? true : undefined}>
        <legend>How did it end?</legend>
        {(Object.keys(OUTCOMES) as Outcome[]).map((key, i) => (
          <label key={key} className={css.choice}>
            <input
              type="radio"
              name={`${id}o`}
              checked={outcome === key}
              onChange={() => setOutcome(key)}
              // biome-ignore lint/a11y/noAutofocus: the form opens at the person's own press
              autoFocus={i === 0}
            />
            {OUTCOMES[key]}
          </label>
        ))}
      </fieldset>
      {outcome === 'watching' && (
        <label className={css.field}>
          Not again for
          <select value={watch} onChange={e => setWatch(Number(e.target.value))}>
            {WATCH_MINUTES.map(m => (
              <option key={m} value={m}>
                {m} minutes
              </option>
            ))}
          </select>
        </label>
      )}
      <label className={css.field}>
        Note (no voter is named)
        <textarea rows={2} maxLength={1000} value={note} onChange={e => setNote(e.target.value)} />
      </label>
      <FormFoot
        problem={problem}
        guard={guard}
        onSend={() => submit()}
        onCancel={() => setForm(null)}
        busy={busy}
        title="Log it"
        busyTitle="Logging…"
      />
      <p className={css.hint}>Ctrl+Enter logs it. “Solved” only on the precinct’s word.</p>
    </form>
  )
}
