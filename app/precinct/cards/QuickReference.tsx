'use client'
import { useEffect, useId, useState } from 'react'
import type { DevicePlan } from '../../../server/protocol/device.ts'
import { CallOffice } from '../CallLink.tsx'
import { focusOnce } from '../focusOnce.ts'
import { useWords } from '../words/WordsContext.tsx'
import { allCards, type ShownCard } from './allCards.ts'
import { CardPage } from './CardPage.tsx'
import css from './cards.module.css'
import { findCards } from './findCards.ts'
import { cardOf, guideScreen } from './guideAddress.ts'

type Props = { screen: string; plan: DevicePlan; go(screen: string): void; close(): void }

/** The guide: all cards with a search, or one of them. What was typed stays while a card is read. */
export function QuickReference({ screen, plan, go, close }: Props) {
  const words = useWords()
  const [typed, setTyped] = useState('')
  const code = cardOf(screen)
  const cards = allCards(plan, words)
  // biome-ignore lint/correctness/useExhaustiveDependencies: each card and the list begin at their top
  useEffect(() => {
    window.scrollTo?.(0, 0)
  }, [screen])
  useEffect(() => () => window.scrollTo?.(0, 0), [])
  if (code !== null)
    return (
      <CardPage
        key={code}
        card={cards.find(card => card.code === code) ?? null}
        plan={plan}
        toList={() => go(guideScreen())}
      />
    )
  return <CardList cards={cards} typed={typed} setTyped={setTyped} plan={plan} go={go} close={close} />
}

type ListProps = Omit<Props, 'screen'> & {
  cards: readonly ShownCard[]
  typed: string
  setTyped(typed: string): void
}

function CardList({ cards, typed, setTyped, plan, go, close }: ListProps) {
  const { cards: W, home } = useWords()
  const id = useId()
  const found = findCards(cards, typed)
  return (
    <main className="pp-page">
      <button type="button" className="pp-back" onClick={close}>
        <span aria-hidden="true">‹ </span>
        {home.back}
      </button>
      <h1 ref={focusOnce} tabIndex={-1}>
        {W.guide}
      </h1>
      <p className="pp-help">{W.lead}</p>
      <div className={css.search}>
        <label htmlFor={`${id}search`}>{W.search}</label>
        <p className="pp-soft" id={`${id}help`}>
          {W.searchHelp}
        </p>
        <input
          id={`${id}search`}
          className="pp-field"
          type="search"
          autoComplete="off"
          aria-describedby={`${id}help`}
          value={typed}
          onChange={e => setTyped(e.target.value)}
        />
      </div>
      <p role="status" className={css.found}>
        {found.length > 0 ? W.found(found.length) : W.none(typed.trim())}
      </p>
      {found.length === 0 && (
        <>
          <p className="pp-help">{W.noneHelp}</p>
          <CallOffice plan={plan} pressing />
        </>
      )}
      <div className="pp-grid">
        {found.map(card => (
          <button key={card.code} type="button" className="pp-big" onClick={() => go(guideScreen(card.code))}>
            <span className="pp-big-title" lang={card.titleLang}>
              {card.title}
            </span>
            {card.ofCounty && <span className="pp-big-note">{W.ofCounty}</span>}
          </button>
        ))}
      </div>
    </main>
  )
}
