'use client'
import { type FormEvent, useState } from 'react'
import type { CallLine } from '../../server/domain/day/row.ts'
import { MINUTE, toRfc3339 } from '../../server/domain/time.ts'
import { dayNow } from '../live/clock.ts'
import { useLink } from '../live/useBoard.ts'
import { useVoterGuard } from '../parts/useVoterGuard.ts'
import css from './callCard.module.css'
import { refusalWords, useDesk } from './deskContext.ts'
import { FormFoot } from './formFoot.tsx'
import { intoSight } from './intoSight.ts'
import { useSendOnce } from './useSendOnce.ts'

const MINUTES = [5, 10, 20, 30, 60]

/** Puts a line off for some minutes; it comes back by itself. */
export function DeferForm({ line }: { line: CallLine }) {
  const { store } = useLink()
  const { setForm } = useDesk()
  const send = useSendOnce()
  const [minutes, setMinutes] = useState(10)
  const [note, setNote] = useState('')
  const [busy, setBusy] = useState(false)
  const [problem, setProblem] = useState<string | null>(null)
  const guard = useVoterGuard([note])

  async function submit(event?: FormEvent) {
    event?.preventDefault()
    const { clock } = store.get()
    if (busy || clock === null || guard.stops()) return
    setBusy(true)
    const until = toRfc3339(Math.round(dayNow(clock, Date.now()) + minutes * MINUTE))
    const words = refusalWords(
      await send('DeferCall', {
        precincts: [...line.precincts],
        until,
        ...(note.trim() ? { note: note.trim() } : {}),
      }),
    )
    setBusy(false)
    setProblem(words)
    if (words === null) setForm(null)
  }

  return (
    <form ref={intoSight} className={css.form} onSubmit={submit}>
      <label className={css.field}>
        Put off for
        <select
          value={minutes}
          onChange={e => setMinutes(Number(e.target.value))}
          // biome-ignore lint/a11y/noAutofocus: the form opens at the person's own press
          autoFocus
        >
          {MINUTES.map(m => (
            <option key={m} value={m}>
              {m} minutes
            </option>
          ))}
        </select>
      </label>
      <label className={css.field}>
        Why
        <input maxLength={1000} value={note} onChange={e => setNote(e.target.value)} />
      </label>
      <FormFoot
        problem={problem}
        guard={guard}
        onSend={() => submit()}
        onCancel={() => setForm(null)}
        busy={busy}
        title="Put off"
        busyTitle="Putting off…"
      />
    </form>
  )
}
