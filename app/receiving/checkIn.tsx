'use client'
import { type FormEvent, useEffect, useId, useRef, useState } from 'react'
import type { ReturnOnWire } from '../../server/protocol/returns.ts'
import { clockWords } from '../live/clock.ts'
import { type KeptId, useOnce } from '../live/sendOnce.ts'
import { useLink, usePlan } from '../live/useBoard.ts'
import { plainMessage } from '../parts/plainMessage.ts'
import { useVoterGuard } from '../parts/useVoterGuard.ts'
import { VoterWarning } from '../parts/voterWarning.tsx'
import { type CheckInDraft, type DraftProblems, problemsFromServer, readDraft } from './checkInDraft.ts'
import { Field } from './field.tsx'
import { ItemsField } from './itemsField.tsx'
import css from './receiving.module.css'
import { people, USUAL } from './returnWords.ts'
import { ReviewCheckIn } from './reviewCheckIn.tsx'
import { SealsField } from './sealsField.tsx'

type Props = {
  one: ReturnOnWire
  /** The receipt that this check-in takes the place of; null: the first. */
  replaces: number | null
  draft: CheckInDraft
  kept: KeptId
  onDraft(draft: CheckInDraft): void
  onAnew(position: number): void
  onClose(): void
  /** Shows what was received meanwhile. */
  onLook(): void
  onDone(): Promise<unknown>
}

/** A return on the table: who came, what they brought, one look over it, checked in. */
export function CheckIn({ one, replaces, draft, kept, onDraft, onAnew, onClose, onLook, onDone }: Props) {
  const id = useId()
  const plan = usePlan()
  const send = useOnce(useLink().send, kept)
  const guard = useVoterGuard([draft.note])
  const [problems, setProblems] = useState<DraftProblems>({})
  const [refused, setRefused] = useState<string | null>(null)
  const [looking, setLooking] = useState(false)
  const [busy, setBusy] = useState(false)
  const heading = useRef<HTMLHeadingElement>(null)
  const form = useRef<HTMLFormElement>(null)
  useEffect(() => heading.current?.focus({ preventScroll: false }), [])
  const offered = one.sent.items ?? USUAL
  const time = (at: string) => clockWords(Date.parse(at), plan.timeZone)
  const overtaken = one.received !== null && one.received.position !== replaces ? one.received : null

  function change(next: Partial<CheckInDraft>) {
    onDraft({ ...draft, ...next })
  }
  function show(found: DraftProblems) {
    setProblems(found)
    setLooking(false)
    requestAnimationFrame(() => form.current?.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus())
  }
  function look(event?: FormEvent) {
    event?.preventDefault()
    const read = readDraft(draft, offered)
    onDraft(read.draft)
    setRefused(null)
    if (!read.ok) return show(read.problems)
    setProblems({})
    if (guard.stops()) return
    setLooking(true)
  }
  async function checkIn() {
    const read = readDraft(draft, offered)
    if (busy) return
    if (!read.ok) return show(read.problems)
    setBusy(true)
    setRefused(null)
    const answer = await send('CheckInReturn', {
      precinct: one.precinct,
      ...read.body,
      ...(replaces === null ? {} : { replaces }),
    })
    if (answer.ok) {
      await onDone()
      return
    }
    setBusy(false)
    const { problems: found, message } = answer.refusal
    setRefused(`Not checked in: ${message}`)
    if (found && found.length > 0) {
      const plain = found.map(p => ({ path: p.path, message: plainMessage(p.message) }))
      show(problemsFromServer(plain))
    }
  }

  const few = draft.carriers.trim() === '1'
  return (
    <form ref={form} noValidate className={css.form} onSubmit={look}>
      <header className={css.top}>
        <div>
          <h2 ref={heading} tabIndex={-1}>
            {replaces === null ? `Check in ${one.name}` : `Check in ${one.name} again`}
          </h2>
          <p className={css.soft}>
            {one.precinct}, {one.place.name}
            {one.departedAt === null ? ' · not said to have left' : ` · left ${time(one.departedAt)}`}
            {one.sent.carriers !== null && ` with ${people(one.sent.carriers)}`}
          </p>
        </div>
        <button type="button" className="button quiet" onClick={onClose}>
          Close
        </button>
      </header>

      {overtaken && (
        <div role="alert" className={css.notice}>
          <p>
            <strong>
              {overtaken.via === 'desk'
                ? `Already checked in at ${time(overtaken.at)}${overtaken.by ? ` by ${overtaken.by}` : ''}.`
                : `Said to be received at ${time(overtaken.at)}${overtaken.via === 'device' ? ' by its own tablet' : ''}.`}
            </strong>{' '}
            Check it in again with what you typed?
          </p>
          <p className={css.buttons}>
            <button
              type="button"
              className="button quiet"
              onClick={() => {
                setRefused(null)
                onAnew(overtaken.position)
              }}
            >
              Yes, check it in again
            </button>
            <button type="button" className="button quiet" onClick={onLook}>
              Look at what stands
            </button>
          </p>
        </div>
      )}
      {refused && (
        <p role="alert" className="wrong">
          {refused}
        </p>
      )}

      {looking ? (
        <ReviewCheckIn
          draft={draft}
          busy={busy}
          stopped={overtaken !== null}
          onChange={() => setLooking(false)}
          onCheckIn={checkIn}
        />
      ) : (
        <>
          <Field id={`${id}c`} label="How many people brought it" problem={problems.carriers}>
            {props => (
              <input
                {...props}
                className={css.short}
                inputMode="numeric"
                maxLength={2}
                value={draft.carriers}
                onChange={e => change({ carriers: e.target.value })}
              />
            )}
          </Field>
          {few && (
            <p role="status" className={css.asks}>
              Your county’s procedure may want two people together. Ask who else was with it, and write what
              they say in the note. It can be checked in all the same.
            </p>
          )}
          <Field
            id={`${id}d`}
            label="Who brought it (optional)"
            help="Names stay in the record, off the board."
            problem={problems.deliveredBy}
          >
            {props => (
              <input
                {...props}
                value={draft.deliveredBy}
                maxLength={1000}
                autoComplete="off"
                onChange={e => change({ deliveredBy: e.target.value })}
              />
            )}
          </Field>
          <ItemsField
            sent={one.sent.items !== null}
            offered={offered}
            draft={draft}
            problems={problems}
            onDraft={onDraft}
            onProblems={more => setProblems(without({ ...problems, ...more }))}
          />
          <SealsField
            draft={draft}
            problem={problems.seals}
            onDraft={onDraft}
            onProblem={words => setProblems(without({ ...problems, seals: words }))}
          />
          <Field
            id={`${id}n`}
            label="Note (optional)"
            help="Torn bags, explanations. No voter is named."
            problem={problems.note}
          >
            {props => (
              <textarea
                {...props}
                rows={2}
                maxLength={1000}
                value={draft.note}
                onChange={e => change({ note: e.target.value })}
              />
            )}
          </Field>
          <VoterWarning
            asks={guard.asks}
            onAnyway={() => {
              guard.allow()
              look()
            }}
          />
          {problems.station && <p className="wrong">The station: {problems.station}.</p>}
          <p className={css.buttons}>
            <button type="submit" className="button">
              Look it over
            </button>
            {Object.keys(problems).length > 0 && (
              <span role="status" className="wrong">
                {Object.keys(problems).length === 1 ? 'One field needs' : 'Some fields need'} another look.
              </span>
            )}
          </p>
        </>
      )}
    </form>
  )
}

/** Only what is still wrong. */
function without(problems: DraftProblems): DraftProblems {
  return Object.fromEntries(Object.entries(problems).filter(([, words]) => words !== undefined))
}
