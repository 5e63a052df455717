'use client'
import { useId, useState } from 'react'
import { ASKING as W } from '../words.ts'
import { type Asked, ProblemLine } from './asked.tsx'
import { Keypad, MOST_DIGITS } from './Keypad.tsx'
import type { NumberQuestion } from './question.ts'

export function AskNumber({ question, error, busy, onAnswer }: Asked<NumberQuestion>) {
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
