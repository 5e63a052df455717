'use client'
import type { ReactNode } from 'react'
import type { DevicePlan } from '../../server/protocol/device.ts'
import type { KeptReport } from '../live/outboxStore.ts'
import { focusOnce } from './focusOnce.ts'
import { Shown } from './guide/Shown.tsx'
import { showsOf, stepOfGuide } from './guide/shows.ts'
import { containerWords, kindWords, tabulatorsNow } from './names.ts'
import { tabulatorsOut } from './outOfUse.ts'
import { type PageState, standsNow } from './pageState.ts'
import { type PlanStep, screenOfStep, stepsOf, stepTitle } from './planSteps.ts'
import { stepList } from './steps.ts'
import { stepTimes } from './stepTimes.ts'
import { useWords } from './words/WordsContext.tsx'

type Props = {
  plan: DevicePlan
  page: PageState
  reports: readonly KeptReport[]
  /** County time of a moment by this device's clock (RFC 3339). */
  timeOf(at: string): string
  go(screen: string): void
  leave(): void
}

/** The lists that lead to a question: steps, seals, tapes, equipment. Each line says how it stands. */
export function Lists({ which, ...props }: Props & { which: string }) {
  switch (which) {
    case 'steps/opening':
      return <Steps {...props} phase="opening" />
    case 'steps/closing':
      return <Steps {...props} phase="closing" />
    case 'seals':
      return <Seals {...props} />
    case 'tapes':
      return <Tapes {...props} />
    case 'closing-tapes':
      return <ClosingTapes {...props} />
    default:
      return <Equipment {...props} />
  }
}

export function Frame({
  title,
  lead,
  leave,
  children,
}: {
  title: string
  lead?: string
  leave(): void
  children: ReactNode
}) {
  const { home } = useWords()
  return (
    <main className="pp-page">
      <button type="button" className="pp-back" onClick={leave}>
        <span aria-hidden="true">‹ </span>
        {home.back}
      </button>
      <h1 ref={focusOnce} tabIndex={-1}>
        {title}
      </h1>
      {lead && <p className="pp-help">{lead}</p>}
      {children}
    </main>
  )
}

export function Big({
  title,
  note,
  now,
  onClick,
}: {
  title: string
  note?: string
  now?: boolean
  onClick(): void
}) {
  return (
    <button type="button" className={now ? 'pp-big pp-big-now' : 'pp-big'} onClick={onClick}>
      <span className="pp-big-title">{title}</span>
      {note && <span className="pp-big-note">{note}</span>}
    </button>
  )
}

const to = (flow: string, what: string) => `flow/${flow}/${encodeURIComponent(what)}`

function Steps({ plan, page, reports, timeOf, go, leave, phase }: Props & { phase: PlanStep['phase'] }) {
  const words = useWords()
  const { lists: W } = words
  const { done, doable, later } = stepList(plan, page, phase)
  const times = stepTimes(plan, reports)
  return (
    <Frame title={W.stepsTitle[phase]} leave={leave}>
      <section className="pp-section">
        <h2>{W.doable}</h2>
        {doable.length === 0 && <p className="pp-help">{W.noneDoable}</p>}
        {doable.map(step => (
          <Big key={step.code} title={stepTitle(step, words)} onClick={() => go(screenOfStep(step))} />
        ))}
      </section>
      {later.length > 0 && (
        <section className="pp-section">
          <h2>{W.later}</h2>
          <ul className="pp-list">
            {later.map(({ step, waitsFor }) => (
              <li key={step.code}>
                <span>{stepTitle(step, words)}</span>
                <span className="pp-soft">{W.after(waitsFor.map(s => stepTitle(s, words)).join('; '))}</span>
              </li>
            ))}
          </ul>
        </section>
      )}
      {done.length > 0 && (
        <section className="pp-section">
          <h2>{W.done}</h2>
          <ul className="pp-list">
            {done.map(step => (
              <li key={step.code}>
                <span>
                  <Tick /> {stepTitle(step, words)}
                </span>
                {times[step.code] && <time className="pp-soft">{timeOf(times[step.code]!)}</time>}
              </li>
            ))}
          </ul>
        </section>
      )}
      {stepsOf(plan, phase).some(s => s.guide) && <Amiss to={to('trouble-in', phase)} go={go} />}
    </Frame>
  )
}

/** The way to the guides' troubles. */
function Amiss({ to, go }: { to: string; go(screen: string): void }) {
  const { guide: W } = useWords()
  return (
    <button type="button" className="pp-quiet" onClick={() => go(to)}>
      {W.somethingAmiss}
    </button>
  )
}

function Tick() {
  return (
    <svg
      width="16"
      height="16"
      viewBox="0 0 12 12"
      aria-hidden="true"
      fill="none"
      stroke="currentColor"
      strokeWidth="1.6"
    >
      <path d="M1.5 6.5l3 3l6 -7" />
    </svg>
  )
}

function Seals({ plan, page, go, leave }: Props) {
  const words = useWords()
  const { lists: W } = words
  const step = stepOfGuide(plan.steps, 'seals')
  const shows = page.polls === 'not-open' ? showsOf(step, words) : undefined
  return (
    <Frame title={W.sealsTitle} lead={shows ? undefined : W.sealsLead} leave={leave}>
      {shows && <Shown shows={shows} />}
      <section className="pp-section">
        {plan.containers.map(c => (
          <Big
            key={c}
            title={containerWords(c, words)}
            note={page.sealTrouble.includes(c) ? W.sealWrong : page.seals.has(c) ? W.recordAgain : undefined}
            now={page.sealTrouble.includes(c)}
            onClick={() => go(to('seal', c))}
          />
        ))}
      </section>
      {shows && <Amiss to={to('trouble', step!.code)} go={go} />}
    </Frame>
  )
}

function Tapes({ plan, page, go, leave }: Props) {
  const words = useWords()
  const { lists: W } = words
  const out = tabulatorsOut(plan, page)
  const step = stepOfGuide(plan.steps, 'tape')
  return (
    <Frame title={W.tapesTitle} leave={leave}>
      <section className="pp-section">
        {tabulatorsNow(plan, page, words).map(t => {
          const because = out.get(t.tag)
          return (
            <Big
              key={t.tag}
              title={`${t.label} (${t.tag})`}
              note={because ? words.outOfUse.note[because] : W.tape[tapeOf(page, t.tag)]}
              now={because !== undefined}
              onClick={() => go(to('tape', t.tag))}
            />
          )
        })}
      </section>
      {step && <Amiss to={to('trouble', step.code)} go={go} />}
    </Frame>
  )
}

const tapeOf = (page: PageState, tag: string) => (page.tapes[tag] === 'verified' ? 'verified' : 'none')

function ClosingTapes({ plan, page, go, leave }: Props) {
  const words = useWords()
  const { lists: W } = words
  const step = stepOfGuide(plan.steps, 'closing-tape')
  return (
    <Frame title={W.closingTapeTitle} leave={leave}>
      <section className="pp-section">
        {tabulatorsNow(plan, page, words).map(t => (
          <Big
            key={t.tag}
            title={`${t.label} (${t.tag})`}
            note={page.closingTapes.has(t.tag) ? W.signed : W.notSigned}
            onClick={() => go(to('closing-tape', t.tag))}
          />
        ))}
      </section>
      {step && <Amiss to={to('trouble', step.code)} go={go} />}
    </Frame>
  )
}

function Equipment({ plan, page, go, leave }: Props) {
  const words = useWords()
  const { lists: W } = words
  const out = tabulatorsOut(plan, page)
  return (
    <Frame title={W.equipmentTitle} lead={W.equipmentLead} leave={leave}>
      <section className="pp-section">
        {plan.equipment.map(e => {
          const tag = standsNow(e.tag, page.replaced)
          const down = page.down.includes(tag)
          const because = out.get(tag)
          return (
            <Big
              key={e.tag}
              title={`${e.label || kindWords(e.kind, words)} (${tag})`}
              note={down ? W.down : because ? words.outOfUse.note[because] : W.works}
              now={down || because !== undefined}
              onClick={() => go(to('equipment', tag))}
            />
          )
        })}
      </section>
    </Frame>
  )
}
