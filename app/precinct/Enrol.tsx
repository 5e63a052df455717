'use client'
import { type FormEvent, useEffect, useId, useRef, useState } from 'react'
import { lengthWords } from '../live/clock.ts'
import { type EnrolOutcome, type Identity, plainCode } from '../live/deviceEnrol.ts'
import { codeOfAddress, forgetAddressCode } from './addressCode.ts'
import type { Words } from './words/catalogue.ts'
import { LanguageSwitch, useWords } from './words/WordsContext.tsx'

type Props = {
  enrol(code: string, label: string): Promise<EnrolOutcome>
  onEnrolled(identity: Identity): void
  /**
   * The office no longer takes the key of before; so many reports still wait under it. Where the tablet serves others
   * too, this precinct's name, and the way to take it off.
   */
  lost?: { waiting: number; name?: string; takeOff?(): void }
  /** The tablet serves these already and goes on with them. */
  another?: { names: readonly string[]; leave(): void }
}

/** Of this page or by the office's reason, so that it follows the language; one not known as it came. */
type Problem = { why: 'empty' | 'short' | 'noNetwork' | 'office' } | { reason: string; office: string }
function problemOf(problem: Problem, { enrol: W }: Words): string {
  if ('why' in problem) return W[problem.why]
  const { refused } = W
  return Object.hasOwn(refused, problem.reason)
    ? refused[problem.reason as keyof typeof refused]
    : problem.office
}

/** One code, one button. What went wrong stands beside the code, and says what to do. */
export function Enrol({ enrol, onEnrolled, lost, another }: Props) {
  const words = useWords()
  const { enrol: W, several } = words
  const [came] = useState(codeOfAddress)
  const [code, setCode] = useState(came)
  const [label, setLabel] = useState('')
  const [problem, setProblem] = useState<Problem | null>(null)
  const [asking, setAsking] = useState(false)
  const [waitMs, setWaitMs] = useState(0)
  const field = useRef<HTMLInputElement>(null)
  const id = useId()

  useEffect(() => {
    if (waitMs <= 0) return
    const timer = setTimeout(() => setWaitMs(ms => Math.max(0, ms - 1_000)), 1_000)
    return () => clearTimeout(timer)
  }, [waitMs])

  async function submit(event: FormEvent) {
    event.preventDefault()
    const plain = plainCode(code)
    const amiss = plain === '' ? 'empty' : plain.length < 8 ? 'short' : null
    if (amiss) return refuse({ why: amiss })
    setAsking(true)
    const outcome = await enrol(code, label)
    setAsking(false)
    if (outcome.ok) {
      forgetAddressCode()
      return onEnrolled(outcome.identity)
    }
    if (outcome.why === 'too-many') setWaitMs(outcome.retryAfter)
    refuse(
      outcome.why === 'code'
        ? { reason: outcome.reason, office: outcome.message }
        : outcome.why === 'too-many'
          ? null
          : { why: outcome.why === 'office' ? 'office' : 'noNetwork' },
    )
  }

  function refuse(amiss: Problem | null) {
    setProblem(amiss)
    field.current?.focus()
  }

  const shown =
    waitMs > 0
      ? W.tooMany(lengthWords(Math.ceil(waitMs / 1_000) * 1_000))
      : problem && problemOf(problem, words)
  return (
    <main className="pp-page">
      <LanguageSwitch />
      <h1>{another ? several.anotherTitle : W.title}</h1>
      {lost && (
        <div className="pp-stop" role="alert">
          <p>{lost.name ? several.lost(lost.name) : W.lost}</p>
          <p>{W.lostKept(lost.waiting)}</p>
        </div>
      )}
      {lost?.name && lost.takeOff && (
        <>
          <button type="button" className="pp-quiet" onClick={lost.takeOff}>
            {several.takeOff(lost.name)}
          </button>
          <p className="pp-help">{several.takeOffHelp}</p>
        </>
      )}
      <p>{another ? several.anotherLead(another.names) : W.lead}</p>
      <form onSubmit={submit} noValidate>
        <label htmlFor={`${id}code`}>{W.code}</label>
        <p className="pp-help" id={`${id}help`}>
          {came !== '' && code === came
            ? another
              ? several.codeCame(another.names)
              : W.codeCame
            : W.codeHelp}
        </p>
        <input
          id={`${id}code`}
          ref={field}
          className="pp-field pp-code"
          value={code}
          onChange={e => {
            setCode(e.target.value)
            setProblem(null)
          }}
          autoComplete="one-time-code"
          autoCapitalize="characters"
          autoCorrect="off"
          spellCheck={false}
          maxLength={40}
          aria-invalid={shown !== null}
          aria-describedby={`${id}help ${id}error`}
        />
        <p className="pp-error" id={`${id}error`} role="alert">
          {shown}
        </p>
        <label htmlFor={`${id}label`}>{W.label}</label>
        <p className="pp-help" id={`${id}labelHelp`}>
          {W.labelHelp}
        </p>
        <input
          id={`${id}label`}
          className="pp-field"
          value={label}
          onChange={e => setLabel(e.target.value)}
          maxLength={60}
          autoComplete="off"
          aria-describedby={`${id}labelHelp`}
        />
        <button type="submit" className="pp-go" disabled={asking || waitMs > 0}>
          {asking ? W.going : W.go}
        </button>
        {another && (
          <button type="button" className="pp-quiet" onClick={another.leave}>
            {several.notNow}
          </button>
        )}
      </form>
      <p className="pp-caution">{words.home.caution}</p>
    </main>
  )
}
