'use client'
import type { DevicePlan } from '../../../server/protocol/device.ts'
import { CallOffice, StepOut } from '../CallLink.tsx'
import { focusOnce } from '../focusOnce.ts'
import { roleWords } from '../names.ts'
import { useWords } from '../words/WordsContext.tsx'
import { PHONES_CARD, type ShownCard } from './allCards.ts'
import css from './cards.module.css'

type Props = {
  /** null: the address names no card. */
  card: ShownCard | null
  plan: DevicePlan
  toList(): void
}

/** One card: what is usual, what to do, what never, and how to ask. */
export function CardPage({ card, plan, toList }: Props) {
  const { cards: W } = useWords()
  return (
    <main className="pp-page">
      <button type="button" className="pp-back" onClick={toList}>
        <span aria-hidden="true">‹ </span>
        {W.all}
      </button>
      <h1 ref={focusOnce} tabIndex={-1} lang={card?.titleLang}>
        {card?.title ?? W.unknown}
      </h1>
      {card && <CardText card={card} />}
      {card?.code === PHONES_CARD && <Phones plan={plan} />}
      {card && (
        <p className="pp-caution">
          <strong>{card.ofCounty ? W.ofCounty : W.decides}</strong>
        </p>
      )}
      {card?.code !== PHONES_CARD && <CallOffice plan={plan} />}
    </main>
  )
}

function CardText({ card }: { card: ShownCard }) {
  const { cards: W } = useWords()
  return (
    <div className={css.card}>
      <div className={css.text} lang={card.linesLang}>
        {card.lines.map((line, at) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: a card's lines stay where they are
          <p key={at}>{line}</p>
        ))}
      </div>
      {card.todo.length > 0 && <Rules title={W.todo} lines={card.todo} className={css.todo} />}
      {card.never.length > 0 && <Rules title={W.never} lines={card.never} className={css.never} />}
    </div>
  )
}

type RulesProps = { title: string; lines: readonly string[]; className: string | undefined }

function Rules({ title, lines, className }: RulesProps) {
  return (
    <section className={className}>
      <h2>{title}</h2>
      <ul>
        {lines.map(line => (
          <li key={line}>{line}</li>
        ))}
      </ul>
    </section>
  )
}

/** The office first, then who else the plan names for this precinct, by role. */
function Phones({ plan }: { plan: DevicePlan }) {
  const words = useWords()
  const { cards: W } = words
  const others = plan.contacts.filter(({ phone }) => phone !== '' && phone !== plan.officePhone)
  const all = [{ role: W.office, phone: plan.officePhone }, ...others].filter(({ phone }) => phone !== '')
  if (all.length === 0) return null
  return (
    <section className="pp-section">
      <h2>{W.phones}</h2>
      <StepOut plan={plan} />
      {all.map(({ role, phone }) => (
        <a key={`${role} ${phone}`} className={`pp-big ${css.phone}`} href={`tel:${phone}`}>
          <span className="pp-big-title">{roleWords(role, words)}</span>{' '}
          <span className="pp-big-note">{phone}</span>
        </a>
      ))}
    </section>
  )
}
