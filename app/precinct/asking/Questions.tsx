'use client'
import { type ReactNode, useId, useState } from 'react'
import { type Looks, looksLikeVoter } from '../voterGuard.ts'
import { ASKING as W } from '../words.ts'
import { Keypad, MOST_DIGITS } from './Keypad.tsx'
import type {
  Answer,
  Choice,
  ManyQuestion,
  NumberQuestion,
  OneQuestion,
  Question,
  TextQuestion,
} from './question.ts'

type Asked<Q> = {
  question: Q
  /** What went wrong with the answer given, from the report's check or the outbox. */
  error: string | null
  busy: boolean
  onAnswer(answer: Answer): void
  onChoice(choice: Choice): void
  /** Names that belong to no person: the place, the county. */
  known: readonly string[]
}

/** One question with its way to answer it. A new question is a new component (key), so nothing lingers. */
export function AskedQuestion(props: Asked<Question>) {
  const { question } = props
  switch (question.kind) {
    case 'number':
      return <AskNumber {...props} question={question} />
    case 'text':
      return <AskText {...props} question={question} />
    case 'one':
      return <AskOne {...props} question={question} />
    case 'many':
      return <AskMany {...props} question={question} />
    case 'two':
      return <AskTwo {...props} />
  }
}

function ProblemLine({ id, children }: { id: string; children: ReactNode }) {
  return (
    <p className="pp-error" id={id} role="alert">
      {children}
    </p>
  )
}

function AskNumber({ question, error, busy, onAnswer }: Asked<NumberQuestion>) {
  const [typed, setTyped] = useState('')
  const [problem, setProblem] = useState<string | null>(null)
  const id = useId()
  const shown = problem ?? error
  function go() {
    if (typed === '') return setProblem(W.numberNeeded)
    const parsed = question.schema.safeParse(Number(typed))
    if (!/^\d+$/.test(typed) || !parsed.success)
      return setProblem(
        parsed.error?.issues[0]?.code === 'too_small' || parsed.error?.issues[0]?.code === 'too_big'
          ? limitWords(parsed.error.issues[0])
          : W.numberWhole,
      )
    onAnswer(parsed.data)
  }
  const change = (value: string) => {
    setProblem(null)
    setTyped(value)
  }
  return (
    <form
      noValidate
      onSubmit={e => {
        e.preventDefault()
        go()
      }}
    >
      <p className="pp-last" id={`${id}last`}>
        {question.last}
      </p>
      <input
        className="pp-field pp-number"
        value={typed}
        onChange={e => change(e.target.value.replace(/\s/g, ''))}
        inputMode="none"
        autoComplete="off"
        maxLength={MOST_DIGITS}
        aria-labelledby="pp-ask"
        aria-describedby={`pp-help ${id}last ${id}error`}
        aria-invalid={shown !== null}
      />
      <ProblemLine id={`${id}error`}>{shown}</ProblemLine>
      <Keypad value={typed} onChange={change} />
      <button type="submit" className="pp-go" disabled={busy}>
        {busy ? W.saving : W.next}
      </button>
      {question.skip && (
        <button type="button" className="pp-quiet" disabled={busy} onClick={() => onAnswer(null)}>
          {question.skip}
        </button>
      )}
    </form>
  )
}

function limitWords(issue: { code: string; minimum?: unknown; maximum?: unknown }): string {
  if (issue.code === 'too_small') return W.atLeast(Number(issue.minimum))
  return W.atMost(Number(issue.maximum))
}

function AskText({ question, error, busy, onAnswer, known }: Asked<TextQuestion>) {
  const [typed, setTyped] = useState('')
  const [problem, setProblem] = useState<string | null>(null)
  const [looks, setLooks] = useState<Looks | null>(null)
  const id = useId()
  const shown = problem ?? error
  function go(asIs: boolean) {
    if (typed.trim() === '') return setProblem(W.textNeeded)
    const parsed = question.schema.safeParse(typed)
    if (!parsed.success)
      return setProblem(parsed.error.issues[0]?.code === 'too_big' ? W.textLong : W.textForm)
    const seen = question.guard && !asIs ? looksLikeVoter(typed, known) : null
    setLooks(seen)
    if (!seen) onAnswer(parsed.data)
  }
  const field = {
    className: 'pp-field',
    value: typed,
    autoComplete: 'off',
    'aria-labelledby': 'pp-ask',
    'aria-describedby': `pp-help ${id}error`,
    'aria-invalid': shown !== null,
    onChange: (e: { target: { value: string } }) => {
      setProblem(null)
      setLooks(null)
      setTyped(e.target.value)
    },
  }
  return (
    <form
      noValidate
      onSubmit={e => {
        e.preventDefault()
        go(false)
      }}
    >
      {question.long ? (
        <textarea {...field} rows={5} maxLength={2_000} />
      ) : (
        <input {...field} maxLength={60} autoCapitalize="characters" autoCorrect="off" spellCheck={false} />
      )}
      <ProblemLine id={`${id}error`}>{shown}</ProblemLine>
      {looks ? (
        <div className="pp-warn" role="alert">
          <p>
            <strong>{W.looksLike[looks]}</strong> {W.neverName}
          </p>
          <button
            type="button"
            className="pp-go"
            onClick={e => {
              setLooks(null)
              e.currentTarget.form?.querySelector<HTMLElement>('.pp-field')?.focus()
            }}
          >
            {W.change}
          </button>
          <button type="button" className="pp-quiet" disabled={busy} onClick={() => go(true)}>
            {W.asIs}
          </button>
        </div>
      ) : (
        <button type="submit" className="pp-go" disabled={busy}>
          {busy ? W.saving : W.next}
        </button>
      )}
      {question.skip && !looks && (
        <button type="button" className="pp-quiet" disabled={busy} onClick={() => onAnswer(null)}>
          {question.skip}
        </button>
      )}
    </form>
  )
}

function AskOne({ question, error, busy, onChoice }: Asked<OneQuestion>) {
  return (
    <fieldset
      className={question.choices.length > 6 ? 'pp-choices pp-two-columns' : 'pp-choices'}
      aria-labelledby="pp-ask"
    >
      <ProblemLine id="pp-error">{error}</ProblemLine>
      {question.choices.map(choice => (
        <button
          key={choice.value}
          type="button"
          className="pp-big"
          disabled={busy}
          onClick={() => onChoice(choice)}
        >
          <span className="pp-big-title">{choice.label}</span>
          {choice.note && <span className="pp-big-note">{choice.note}</span>}
        </button>
      ))}
    </fieldset>
  )
}

function AskMany({ question, error, busy, onAnswer }: Asked<ManyQuestion>) {
  const [ticked, setTicked] = useState<readonly string[]>(question.preset ?? [])
  const [problem, setProblem] = useState<string | null>(null)
  const id = useId()
  const nothing = ticked.length === 0
  return (
    <form
      noValidate
      onSubmit={e => {
        e.preventDefault()
        if (nothing && !question.none) return setProblem(W.tickNeeded)
        onAnswer(question.choices.map(c => c.value).filter(v => ticked.includes(v)))
      }}
    >
      <fieldset className="pp-choices" aria-labelledby="pp-ask" aria-describedby={`${id}error`}>
        {question.choices.map(choice => (
          <label key={choice.value} className="pp-tick">
            <input
              type="checkbox"
              checked={ticked.includes(choice.value)}
              onChange={e => {
                setProblem(null)
                setTicked(
                  e.target.checked ? [...ticked, choice.value] : ticked.filter(v => v !== choice.value),
                )
              }}
            />
            {choice.label}
          </label>
        ))}
      </fieldset>
      <ProblemLine id={`${id}error`}>{problem ?? error}</ProblemLine>
      <button type="submit" className="pp-go" disabled={busy}>
        {busy ? W.saving : nothing && question.none ? question.none : W.next}
      </button>
    </form>
  )
}

function AskTwo({ error, busy, onAnswer }: Asked<Question>) {
  const [confirmed, setConfirmed] = useState({ first: false, second: false })
  const [problem, setProblem] = useState<string | null>(null)
  const tick = (who: 'first' | 'second') => (
    <label className="pp-tick">
      <input
        type="checkbox"
        checked={confirmed[who]}
        onChange={e => {
          setProblem(null)
          setConfirmed({ ...confirmed, [who]: e.target.checked })
        }}
      />
      {W[who]}
    </label>
  )
  return (
    <form
      noValidate
      onSubmit={e => {
        e.preventDefault()
        if (!confirmed.first || !confirmed.second) return setProblem(W.twoNeeded)
        onAnswer('two')
      }}
    >
      <fieldset className="pp-choices" aria-labelledby="pp-ask" aria-describedby="pp-two-error">
        {tick('first')}
        {tick('second')}
      </fieldset>
      <ProblemLine id="pp-two-error">{problem ?? error}</ProblemLine>
      <button type="submit" className="pp-go" disabled={busy}>
        {busy ? W.saving : W.both}
      </button>
      <button type="button" className="pp-quiet" disabled={busy} onClick={() => onAnswer('one')}>
        {W.alone}
      </button>
    </form>
  )
}
