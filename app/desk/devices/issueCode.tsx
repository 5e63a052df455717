'use client'
import { useRef, useState } from 'react'
import type { z } from 'zod'
import type { BoardRow } from '../../../server/domain/day/row.ts'
import { type Instant, SECOND } from '../../../server/domain/time.ts'
import { devicesAnswer } from '../../../server/protocol/answers.ts'
import { usePlan } from '../../live/useBoard.ts'
import { ask } from '../../setup/asking.ts'
import { refusalWords, useDesk } from '../deskContext.ts'
import css from '../drawer.module.css'

type Device = z.output<typeof devicesAnswer>['devices'][number]

/** A code for a tablet: where the precinct has one already, the desk says whose place the new one takes, or that it is one more. */
export function IssueCode({ code, row, now }: { code: string; row: BoardRow; now: Instant }) {
  const { day, send } = useDesk()
  const plan = usePlan()
  const [there, setThere] = useState<Device[] | null>(null)
  const [issued, setIssued] = useState('')
  const [said, setSaid] = useState('')
  const [busy, setBusy] = useState(false)

  /** Asked now, not before: another may have been enrolled meanwhile. */
  async function begin() {
    setBusy(true)
    setIssued('')
    setSaid('')
    const path = `/days/${encodeURIComponent(day)}/devices?precinct=${encodeURIComponent(code)}`
    const answer = await ask(path, devicesAnswer)
    if (!answer.ok) setSaid(answer.problems.map(p => p.message).join(' '))
    else {
      const inUse = answer.value.devices.filter(d => d.revokedAt === null && d.replacedAt === null)
      if (inUse.length > 0) setThere(inUse)
      else await issue(null)
    }
    setBusy(false)
  }
  async function issue(replaces: string | null) {
    setBusy(true)
    const body = { precinct: code, ...(replaces === null ? {} : { replaces }) }
    const answer = await send('IssueCode', body)
    setBusy(false)
    setSaid(refusalWords(answer) ?? '')
    if (!answer.ok) return
    setThere(null)
    setIssued(answer.result?.code ?? '')
  }

  const late = row.heardAt === null || now - row.heardAt >= plan.heartbeat.lateAfterSeconds * SECOND
  return (
    <>
      {there === null ? (
        <button type="button" className="button quiet" disabled={busy} onClick={begin}>
          Issue an enrolment code
        </button>
      ) : (
        <PlaceForm
          there={there}
          standard={late && there.length === 1 ? there[0]!.id : null}
          busy={busy}
          onIssue={issue}
          onCancel={() => setThere(null)}
        />
      )}
      {issued !== '' && (
        <p className={css.code}>
          Enrolment code, shown once: <output>{issued}</output>
        </p>
      )}
      <p role="status" className={css.soft}>
        {said}
      </p>
    </>
  )
}

/** `standard`: the device that is chosen to begin with; null: none, it is one more. */
function PlaceForm(props: {
  there: Device[]
  standard: string | null
  busy: boolean
  onIssue(replaces: string | null): void
  onCancel(): void
}) {
  const [chosen, setChosen] = useState(props.standard)
  const name = useRef(`place-${props.there[0]!.id}`)
  const alike = (label: string) => props.there.filter(d => d.label === label).length > 1
  const choices: Array<[string | null, string]> = [
    ...props.there.map(({ id, label }): [string, string] => [
      id,
      `It takes the place of ${label === '' ? id : alike(label) ? `${label} (${id})` : label}`,
    ]),
    [null, 'It is one more'],
  ]
  return (
    <form
      className={css.confirm}
      aria-label="Issue an enrolment code"
      onSubmit={event => {
        event.preventDefault()
        props.onIssue(chosen)
      }}
    >
      <fieldset>
        <legend>This precinct has a tablet. What is the new one?</legend>
        {choices.map(([id, words]) => (
          <label key={words} className={css.choice}>
            <input type="radio" name={name.current} checked={chosen === id} onChange={() => setChosen(id)} />{' '}
            {words}
          </label>
        ))}
      </fieldset>
      {chosen !== null && (
        <p className={css.soft}>
          From the moment the code is used, what the old tablet says is kept aside until you accept it.
        </p>
      )}
      <div className={css.buttons}>
        <button type="button" className="button quiet" onClick={props.onCancel}>
          Cancel
        </button>
        <button type="submit" className="button" disabled={props.busy}>
          Issue the code
        </button>
      </div>
    </form>
  )
}
