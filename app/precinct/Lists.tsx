'use client'
import type { ReactNode } from 'react'
import type { DevicePlan } from '../../server/protocol/device.ts'
import { containerWords, tabulatorsNow } from './names.ts'
import { type PageState, standsNow } from './pageState.ts'
import { type PlanStep, screenOfStep } from './planSteps.ts'
import { stepList } from './steps.ts'
import { HOME, LISTS as W } from './words.ts'

type Props = { plan: DevicePlan; page: PageState; go(screen: string): void; leave(): void }

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
  return (
    <main className="pp-page">
      <button type="button" className="pp-back" onClick={leave}>
        <span aria-hidden="true">‹ </span>
        {HOME.back}
      </button>
      <h1 ref={h => h?.focus()} tabIndex={-1}>
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

function Steps({ plan, page, go, leave, phase }: Props & { phase: PlanStep['phase'] }) {
  const { done, doable, later } = stepList(plan, page, phase)
  return (
    <Frame title={W.stepsTitle[phase]} leave={leave}>
      <section className="pp-section">
        <h2>{W.doable}</h2>
        {doable.length === 0 && <p className="pp-help">{W.noneDoable}</p>}
        {doable.map(step => (
          <Big key={step.code} title={step.title} onClick={() => go(screenOfStep(step))} />
        ))}
      </section>
      {later.length > 0 && (
        <section className="pp-section">
          <h2>{W.later}</h2>
          <ul className="pp-list">
            {later.map(({ step, waitsFor }) => (
              <li key={step.code}>
                <span>{step.title}</span>
                <span className="pp-soft">{W.after(waitsFor.map(s => s.title).join('; '))}</span>
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
                  <Tick /> {step.title}
                </span>
              </li>
            ))}
          </ul>
        </section>
      )}
    </Frame>
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
  return (
    <Frame title={W.sealsTitle} lead={W.sealsLead} leave={leave}>
      <section className="pp-section">
        {plan.containers.map(c => (
          <Big
            key={c}
            title={containerWords(c)}
            note={page.seals.has(c) ? W.recordAgain : undefined}
            now={page.sealTrouble.includes(c)}
            onClick={() => go(to('seal', c))}
          />
        ))}
      </section>
    </Frame>
  )
}

function Tapes({ plan, page, go, leave }: Props) {
  return (
    <Frame title={W.tapesTitle} leave={leave}>
      <section className="pp-section">
        {tabulatorsNow(plan, page).map(t => {
          const tape = page.tapes[t.tag] ?? 'none'
          return (
            <Big
              key={t.tag}
              title={`${t.label} (${t.tag})`}
              note={W.tape[tape]}
              now={tape === 'rejected'}
              onClick={() => go(to('tape', t.tag))}
            />
          )
        })}
      </section>
    </Frame>
  )
}

function ClosingTapes({ plan, page, go, leave }: Props) {
  return (
    <Frame title={W.closingTapeTitle} leave={leave}>
      <section className="pp-section">
        {tabulatorsNow(plan, page).map(t => (
          <Big
            key={t.tag}
            title={`${t.label} (${t.tag})`}
            note={page.closingTapes.has(t.tag) ? W.signed : W.notSigned}
            onClick={() => go(to('closing-tape', t.tag))}
          />
        ))}
      </section>
    </Frame>
  )
}

function Equipment({ plan, page, go, leave }: Props) {
  return (
    <Frame title={W.equipmentTitle} lead={W.equipmentLead} leave={leave}>
      <section className="pp-section">
        {plan.equipment.map(e => {
          const tag = standsNow(e.tag, page.replaced)
          const down = page.down.includes(tag)
          return (
            <Big
              key={e.tag}
              title={`${e.label || e.kind} (${tag})`}
              note={down ? W.down : W.works}
              now={down}
              onClick={() => go(to('equipment', tag))}
            />
          )
        })}
      </section>
    </Frame>
  )
}
