'use client'
import { useId, useState } from 'react'
import { useWords } from '../words/WordsContext.tsx'
import { type Asked, ProblemLine } from './asked.tsx'
import type { ManyQuestion, OneQuestion } from './question.ts'

export function AskOne({ question, error, busy, onChoice }: Asked<OneQuestion>) {
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

export function AskMany({ question, error, busy, onAnswer }: Asked<ManyQuestion>) {
  const { asking: W } = useWords()
  const [ticked, setTicked] = useState<readonly string[]>(question.preset ?? [])
  const [amiss, setAmiss] = useState(false)
  const id = useId()
  const nothing = ticked.length === 0
  return (
    <form
      noValidate
      onSubmit={e => {
        e.preventDefault()
        if (nothing && !question.none) return setAmiss(true)
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
                setAmiss(false)
                setTicked(
                  e.target.checked ? [...ticked, choice.value] : ticked.filter(v => v !== choice.value),
                )
              }}
            />
            {choice.label}
          </label>
        ))}
      </fieldset>
      <ProblemLine id={`${id}error`}>{amiss ? W.tickNeeded : error}</ProblemLine>
      <button type="submit" className="pp-go" disabled={busy}>
        {busy ? W.saving : nothing && question.none ? question.none : W.next}
      </button>
    </form>
  )
}
