'use client'
import { useState } from 'react'
import { useWords } from '../words/WordsContext.tsx'
import { type Asked, ProblemLine } from './asked.tsx'
import type { TwoAnswer, TwoQuestion } from './question.ts'

type Tick = 'first' | 'second' | 'differ'

/**
 * Two people confirm, each with a tick of their own; where the county asks for it, also that they are of different
 * parties. That third tick may be left out: what is so is told, and the office decides.
 */
export function AskTwo({ error, busy, twoParties, onAnswer }: Asked<TwoQuestion>) {
  const { asking: W } = useWords()
  const [ticked, setTicked] = useState<Readonly<Record<Tick, boolean>>>({
    first: false,
    second: false,
    differ: false,
  })
  const [amiss, setAmiss] = useState(false)
  const tick = (which: Tick) => (
    <label className="pp-tick">
      <input
        type="checkbox"
        checked={ticked[which]}
        onChange={e => {
          setAmiss(false)
          setTicked({ ...ticked, [which]: e.target.checked })
        }}
      />
      {W[which]}
    </label>
  )
  const both = (): TwoAnswer => (!twoParties ? 'two' : ticked.differ ? 'two-differ' : 'two-unsaid')
  return (
    <form
      noValidate
      onSubmit={e => {
        e.preventDefault()
        if (!ticked.first || !ticked.second) return setAmiss(true)
        onAnswer(both())
      }}
    >
      <fieldset className="pp-choices" aria-labelledby="pp-ask" aria-describedby="pp-two-error">
        {tick('first')}
        {tick('second')}
        {twoParties && tick('differ')}
      </fieldset>
      <ProblemLine id="pp-two-error">{amiss ? W.twoNeeded : error}</ProblemLine>
      <button type="submit" className="pp-go" disabled={busy}>
        {busy ? W.saving : W.both}
      </button>
      <button type="button" className="pp-quiet" disabled={busy} onClick={() => onAnswer('one')}>
        {W.alone}
      </button>
    </form>
  )
}
