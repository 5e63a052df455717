'use client'
import { useId, useState } from 'react'
import { type Looks, looksLikeVoter, withoutStreets } from '../../parts/voterGuard.ts'
import { useWords } from '../words/WordsContext.tsx'
import { type Asked, ProblemLine } from './asked.tsx'
import { linesOf, MOST_LINES, type TextQuestion, wrongLine } from './question.ts'

type Problem = 'textNeeded' | 'textLong' | 'textForm' | { line: string }

export function AskText({ question, error, busy, onAnswer, known }: Asked<TextQuestion>) {
  const { asking: W } = useWords()
  const [typed, setTyped] = useState(question.preset ?? '')
  const [problem, setProblem] = useState<Problem | null>(null)
  const [looks, setLooks] = useState<Looks | null>(null)
  const id = useId()
  const shown = !problem ? error : typeof problem === 'string' ? W[problem] : W.lineForm(problem.line)
  function go(asIs: boolean) {
    if (typed.trim() === '') return setProblem('textNeeded')
    if (question.lines) return goLines(question)
    const parsed = question.schema.safeParse(typed)
    if (!parsed.success)
      return setProblem(parsed.error.issues[0]?.code === 'too_big' ? 'textLong' : 'textForm')
    const looked = question.guard === 'place' ? withoutStreets(typed) : typed
    const looks = question.guard && !asIs ? looksLikeVoter(looked, known) : null
    const seen = looks === 'name' && question.guard === 'names-fit' ? null : looks
    setLooks(seen)
    if (!seen) onAnswer(parsed.data)
  }
  function goLines(asked: TextQuestion) {
    const wrong = wrongLine(asked, typed)
    if (wrong !== null) return setProblem({ line: wrong })
    if (linesOf(typed).length > MOST_LINES) return setProblem('textLong')
    onAnswer(typed)
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
