'use client'
import { type FormEvent, useEffect, useId, useRef, useState } from 'react'
import type { PrecinctKind } from '../../../server/domain/log/kinds.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import { clockWords, dateOfField, dayNow } from '../../live/clock.ts'
import { useDayNow, useLink, usePlan } from '../../live/useBoard.ts'
import { useVoterGuard } from '../../parts/useVoterGuard.ts'
import { VoterWarning } from '../../parts/voterWarning.tsx'
import { refusalWords, useDesk } from '../deskContext.ts'
import { type KeptId, useSendOnce } from '../useSendOnce.ts'
import css from './callerForm.module.css'
import {
  type CallDraft,
  type Problems,
  problemsFromServer,
  readCall,
  type Said,
  wordsOfCall,
} from './said.ts'
import { SaidBox } from './saidBox.tsx'
import { PHASES, type Phase, SAYINGS } from './sayings.ts'

export const EMPTY_CALL: CallDraft = { via: 'caller', spoke: '', at: '', said: [] }
const SPEAKERS = ['precinct lead', 'worker', 'rover', 'receiving station', 'place owner']

type Props = {
  code: string
  /** Kept by the desk, so that closing the form loses nothing. */
  draft: CallDraft
  /** Kept with the draft: a call that no answer came to is not written twice. */
  kept: KeptId
  onDraft(draft: CallDraft): void
  onDone(words: string): void
}

/** What somebody says on the telephone, or a paper note, becomes the same entries as a device's reports. */
export function CallerForm({ code, draft, kept, onDraft, onDone }: Props) {
  const id = useId()
  const plan = usePlan()
  const { store } = useLink()
  const { close } = useDesk()
  const send = useSendOnce(kept)
  const guard = useVoterGuard(wordsOfCall(draft))
  const now = useDayNow(MINUTE)
  const [problems, setProblems] = useState<Problems>({})
  const [busy, setBusy] = useState(false)
  const [refused, setRefused] = useState<string | null>(null)
  const heading = useRef<HTMLHeadingElement>(null)
  const form = useRef<HTMLFormElement>(null)
  // biome-ignore lint/correctness/useExhaustiveDependencies: another precinct is another heading
  useEffect(() => heading.current?.focus({ preventScroll: true }), [code])
  const name = plan.precincts.find(p => p.code === code)?.name ?? code

  const add = (kind: PrecinctKind) => {
    const next = draft.said.reduce((most, s) => Math.max(most, Number(s.id)), 0) + 1
    onDraft({ ...draft, said: [...draft.said, { id: String(next), kind, at: '', values: {} }] })
  }
  const change = (said: Said) =>
    onDraft({ ...draft, said: draft.said.map(s => (s.id === said.id ? said : s)) })

  function show(found: Problems) {
    setProblems(found)
    requestAnimationFrame(() => form.current?.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus())
  }

  async function submit(event?: FormEvent) {
    event?.preventDefault()
    const { clock } = store.get()
    if (busy || clock === null) return
    const read = readCall(draft, plan, code, dayNow(clock, Date.now()))
    setRefused(null)
    if (!read.ok) {
      show(read.problems)
      return
    }
    setProblems({})
    if (guard.stops()) return
    setBusy(true)
    const answer = await send('RecordReports', read.body)
    setBusy(false)
    const words = refusalWords(answer)
    if (words !== null) {
      setRefused(words)
      if (!answer.ok && answer.refusal.problems) show(problemsFromServer(answer.refusal.problems, read.from))
      return
    }
    onDone(
      `Written in for ${name}: ${read.body.reports.length} ${read.body.reports.length === 1 ? 'entry' : 'entries'}.`,
    )
  }

  const date = dateOfField(draft.at, plan.date, plan.timeZone, now)
  const count = Object.keys(problems).length
  return (
    <form
      ref={form}
      noValidate
      className={css.form}
      onSubmit={submit}
      onKeyDown={e => {
        if (e.key === 'Enter' && (e.ctrlKey || e.metaKey)) submit()
      }}
    >
      <header className={css.top}>
        <h2 ref={heading} tabIndex={-1}>
          Written in for {name}
        </h2>
        <button type="button" className="button quiet" onClick={close}>
          Close
        </button>
      </header>

      <div className={css.first}>
        <label>
          <span>How it came</span>
          <select
            value={draft.via}
            onChange={e => onDraft({ ...draft, via: e.target.value === 'paper' ? 'paper' : 'caller' })}
          >
            <option value="caller">telephone</option>
            <option value="paper">paper</option>
          </select>
        </label>
        <label>
          <span>{draft.via === 'paper' ? 'Who wrote, by role' : 'Who speaks, by role'}</span>
          <input
            list={`${id}roles`}
            value={draft.spoke}
            maxLength={40}
            aria-invalid={problems.spoke ? true : undefined}
            aria-describedby={problems.spoke ? `${id}spoke` : undefined}
            onChange={e => onDraft({ ...draft, spoke: e.target.value })}
          />
          <datalist id={`${id}roles`}>
            {SPEAKERS.map(s => (
              <option key={s} value={s} />
            ))}
          </datalist>
          {problems.spoke && (
            <em id={`${id}spoke`} className="wrong">
              {problems.spoke}
            </em>
          )}
        </label>
        <label>
          <span>When it happened</span>
          <input
            value={draft.at}
            placeholder={`now, ${clockWords(now, plan.timeZone)}`}
            inputMode="numeric"
            maxLength={5}
            aria-invalid={problems.at ? true : undefined}
            aria-describedby={problems.at || date ? `${id}at` : undefined}
            onChange={e => onDraft({ ...draft, at: e.target.value })}
          />
          {problems.at && (
            <em id={`${id}at`} className="wrong">
              {problems.at}
            </em>
          )}
          {!problems.at && date && <em id={`${id}at`}>on {date}</em>}
        </label>
      </div>

      {draft.said.map(said => (
        <SaidBox
          key={said.id}
          said={said}
          now={now}
          plan={plan}
          precinct={code}
          problems={problems}
          onChange={change}
          onRemove={() => onDraft({ ...draft, said: draft.said.filter(s => s.id !== said.id) })}
        />
      ))}

      <fieldset className={css.add}>
        <legend>{draft.said.length === 0 ? 'What was said?' : 'What else?'}</legend>
        {problems.said && <p className="wrong">{problems.said}</p>}
        {(Object.keys(PHASES) as Phase[]).map(phase => (
          <div key={phase}>
            <h3>{PHASES[phase]}</h3>
            <div className={css.kinds}>
              {SAYINGS.filter(s => s.phase === phase).map(s => (
                <button key={s.kind} type="button" className="button quiet" onClick={() => add(s.kind)}>
                  {s.label}
                </button>
              ))}
            </div>
          </div>
        ))}
      </fieldset>

      <footer className={css.foot}>
        <div role="alert">
          {refused && <p className="wrong">{refused}</p>}
          {count > 0 && (
            <p className="wrong">
              {count} {count === 1 ? 'field needs' : 'fields need'} another look.
            </p>
          )}
        </div>
        <VoterWarning
          asks={guard.asks}
          onAnyway={() => {
            guard.allow()
            submit()
          }}
        />
        <button type="submit" className="button" disabled={busy}>
          {busy ? 'Recording…' : 'Record what was said'}
        </button>
        <p className={css.hint}>
          Ctrl+Enter records it. Read it back to the caller first. No voter is named.
        </p>
      </footer>
    </form>
  )
}
