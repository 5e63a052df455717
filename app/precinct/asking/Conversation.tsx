'use client'
import { useEffect, useRef, useState } from 'react'
import type { DevicePlan } from '../../../server/protocol/device.ts'
import type { SayOutcome } from '../../live/outbox.ts'
import { CallOffice, StepOut } from '../CallLink.tsx'
import { Shown } from '../guide/Shown.tsx'
import type { Words } from '../words/catalogue.ts'
import { useWords } from '../words/WordsContext.tsx'
import { notSaved } from './notSaved.ts'
import { AskedQuestion } from './Questions.tsx'
import type { Answer, Answers, Around, Choice, Done, Flow, Question, ToSay } from './question.ts'

type Props = {
  flow: Flow
  around: Around
  /** Numbers and saves one report. */
  say(report: ToSay): Promise<SayOutcome>
  leave(): void
  go(screen: string): void
  /** Whether the office has everything by now. */
  allHeard: boolean
  /** The office keeps aside what this tablet says: another took its place. */
  aside?: boolean
}

type Given = { question: Question; answer: Answer }

/**
 * Asks one question after the other and says what comes of it. Going back takes the last answer away. What the
 * outbox refuses is shown at the question it belongs to; a report that was saved is never saved twice.
 */
export function Conversation({ flow, around, say, leave, go, allHeard, aside = false }: Props) {
  const { words } = around
  const [given, setGiven] = useState<readonly Given[]>([])
  /** In whatever language the page is by now. */
  const [error, setError] = useState<{ say(words: Words): string } | null>(null)
  const [busy, setBusy] = useState(false)
  const [ended, setEnded] = useState(false)
  // What was so when it began: else the page's own report would change the question under the worker's thumb.
  const [start] = useState(around)
  /** Those saved so far, by what they say: one that an answer changes since is another report. */
  const saved = useRef<readonly string[]>([])
  const heading = useRef<HTMLHeadingElement>(null)
  const here = { ...start, now: around.now, words }
  const step = flow(answersOf(given), here)
  const done = ended && 'say' in step ? step.done : null
  const question = 'ask' in step ? step.ask : given.at(-1)!.question
  const askedId = done ? 'done' : question.id

  // biome-ignore lint/correctness/useExhaustiveDependencies: the focus follows the question, not its parts
  useEffect(() => {
    const field = heading.current?.parentElement?.querySelector<HTMLElement>('.pp-field')
    ;(field ?? heading.current)?.focus()
    window.scrollTo?.(0, 0)
  }, [askedId])

  async function answer(value: Answer) {
    setError(null)
    const next = [...given, { question, answer: value }]
    const outcome = flow(answersOf(next), here)
    if ('ask' in outcome) return setGiven(next)
    setBusy(true)
    const left = [...saved.current]
    for (const report of outcome.say) {
      const says = JSON.stringify([report.kind, report.body])
      const there = left.indexOf(says)
      if (there >= 0) {
        left.splice(there, 1)
        continue
      }
      const result = await say(report)
      if (!result.ok) {
        setBusy(false)
        return refuse(result, next)
      }
      saved.current = [...saved.current, says]
    }
    setBusy(false)
    setGiven(next)
    setEnded(true)
  }

  function refuse(result: SayOutcome & { ok: false }, tried: readonly Given[]) {
    const say = (w: Words) => notSaved(result, w)
    if (result.why !== 'invalid') return setError({ say })
    const at = tried.findIndex(g =>
      result.problems.some(
        p =>
          p.path === g.question.fills ||
          (g.question.fills !== undefined && p.path.startsWith(`${g.question.fills}.`)),
      ),
    )
    if (at >= 0 && at < given.length) setGiven(given.slice(0, at))
    setError({ say })
  }

  function choose(choice: Choice) {
    if (choice.leave) return leave()
    if (choice.go) return go(choice.go)
    if (choice.again) return back()
    void answer(choice.value)
  }

  function back() {
    setError(null)
    if (given.length === 0) return leave()
    setGiven(given.slice(0, -1))
  }

  if (done)
    return (
      <Said
        done={done}
        said={'say' in step && step.say.length > 0}
        heading={heading}
        allHeard={allHeard}
        aside={aside}
        plan={around.plan}
        go={go}
        leave={leave}
      />
    )
  const known = [
    around.plan.county,
    around.plan.precinct.name,
    around.plan.precinct.place,
    around.plan.dayName,
  ]
  return (
    <main className="pp-page">
      <button type="button" className="pp-back" onClick={back} disabled={busy}>
        <span aria-hidden="true">‹ </span>
        {words.asking.back}
      </button>
      <h1 id="pp-ask" ref={heading} tabIndex={-1}>
        {question.ask}
      </h1>
      <p className="pp-help" id="pp-help">
        {question.help}
      </p>
      {question.shows && <Shown shows={question.shows} />}
      <AskedQuestion
        key={`${question.id}:${given.length}`}
        question={question}
        error={error?.say(words) ?? null}
        busy={busy}
        onAnswer={value => void answer(value)}
        onChoice={choose}
        known={known}
        twoParties={around.plan.page.twoParties}
      />
    </main>
  )
}

function answersOf(given: readonly Given[]): Answers {
  return Object.fromEntries(given.map(g => [g.question.id, g.answer]))
}

type SaidProps = {
  done: Done
  /** Whether anything was said: some conversations end in words alone. */
  said: boolean
  heading: React.RefObject<HTMLHeadingElement | null>
  allHeard: boolean
  aside: boolean
  plan: DevicePlan
  go(screen: string): void
  leave(): void
}

function Said({ done, said, heading, allHeard, aside, plan, go, leave }: SaidProps) {
  const words = useWords()
  const { asking: W, home } = words
  return (
    <main className="pp-page">
      <h1 ref={heading} tabIndex={-1} className={done.stop ? 'pp-stop-title' : undefined}>
        {done.title}
      </h1>
      <p role="status" className="pp-help">
        {said && (aside ? W.savedAside : statusOf(done, allHeard, words))}
      </p>
      {done.lines?.map(line => (
        <p key={line} className="pp-line">
          {line}
        </p>
      ))}
      {done.ring && !done.phone && <StepOut plan={plan} />}
      {done.ring?.map(({ label, phone }) => (
        <a key={label} className="pp-go pp-call" href={`tel:${phone}`}>
          {label}
        </a>
      ))}
      {(done.phone || (said && aside)) && <CallOffice plan={plan} pressing={done.stop} />}
      {done.to?.map(to => (
        <button key={to.screen} type="button" className="pp-go" onClick={() => go(to.screen)}>
          {to.label}
        </button>
      ))}
      <button type="button" className={done.stop || done.to?.length ? 'pp-quiet' : 'pp-go'} onClick={leave}>
        {W.done}
      </button>
      <button type="button" className="pp-back" onClick={() => go('')}>
        {home.home}
      </button>
    </main>
  )
}

function statusOf({ told }: Done, allHeard: boolean, { asking: W, guide }: Words): string {
  if (told === undefined) return allHeard ? W.savedThere : W.savedHere
  return allHeard ? guide.toldThere(told) : guide.toldHere(told)
}
