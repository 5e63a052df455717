'use client'
import { useRef, useState } from 'react'
import type { BoardRow } from '../../../server/domain/day/row.ts'
import { type Instant, SECOND } from '../../../server/domain/time.ts'
import { usePlan } from '../../live/useBoard.ts'
import { refusalWords, useDesk } from '../deskContext.ts'
import css from '../drawer.module.css'
import { type Device, deviceNames, useDevicesHere } from './useDevicesHere.ts'

/** A code for a tablet: where the precinct has one already, the desk says whose place the new one takes, or that it is one more. */
export function IssueCode({ code, row, now }: { code: string; row: BoardRow; now: Instant }) {
  const { send } = useDesk()
  const devicesHere = useDevicesHere(code)
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
    const devices = await devicesHere()
    if (typeof devices === 'string') setSaid(devices)
    else {
      const inUse = devices.filter(d => d.replacedAt === null)
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
          row={row}
          timeZone={plan.timeZone}
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
  row: BoardRow
  timeZone: string
  standard: string | null
  busy: boolean
  onIssue(replaces: string | null): void
  onCancel(): void
}) {
  const [chosen, setChosen] = useState(props.standard)
  const name = useRef(`place-${props.there[0]!.id}`)
  const choices: Array<[string | null, string]> = [
    ...[...deviceNames(props.there, props.row, props.timeZone)].map(([id, named]): [string, string] => [
      id,
      `It takes the place of ${named}`,
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
