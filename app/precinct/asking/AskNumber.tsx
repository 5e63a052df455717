'use client'
import { useId, useState } from 'react'
import type { Words } from '../words/catalogue.ts'
import { useWords } from '../words/WordsContext.tsx'
import { type Asked, ProblemLine } from './asked.tsx'
import { Keypad, MOST_DIGITS } from './Keypad.tsx'
import type { NumberQuestion } from './question.ts'
import { Stepper, stepped } from './Stepper.tsx'

export function AskNumber({ question, error, busy, onAnswer }: Asked<NumberQuestion>) {
  const words = useWords()
  const { asking: W } = words
  const [typed, setTyped] = useState('')
  const [problem, setProblem] = useState<Problem | null>(null)
  const id = useId()
  const shown = problem ? problem.say(words) : error
  function go() {
    if (typed === '') return setProblem({ say: w => w.asking.numberNeeded })
    const parsed = question.schema.safeParse(Number(typed))
    if (!/^\d+$/.test(typed) || !parsed.success)
      return setProblem({ say: w => limitWords(parsed.error?.issues[0], w) })
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
      {question.from !== undefined && (
        <Stepper from={question.from} typed={typed} step={by => change(stepped(typed, question.from!, by))} />
      )}
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

/** Words of a problem, in whatever language the page is by now. */
type Problem = { say(words: Words): string }

function limitWords(
  issue: { code: string; minimum?: unknown; maximum?: unknown } | undefined,
  { problems, asking }: Words,
): string {
  if (issue?.code === 'too_small') return problems.atLeast(Number(issue.minimum))
  if (issue?.code === 'too_big') return problems.atMost(Number(issue.maximum))
  return asking.numberWhole
}
