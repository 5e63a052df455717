'use client'
import { useEffect, useRef, useState } from 'react'
import { isOpenErrand } from '../../server/domain/day/errand.ts'
import { openErrandsOf, placeOf } from '../../server/domain/dispatch/whereabouts.ts'
import type { RoverBrief } from '../../server/protocol/board.ts'
import { useBoard, usePlan } from '../live/useBoard.ts'
import { errandWords } from '../parts/errandWords.ts'
import { ErrandCard } from './errandCard.tsx'
import { OfficeLine } from './officeLine.tsx'
import css from './rover.module.css'
import { useErrandWords } from './useErrandWords.ts'
import { pressedTo, useTaps } from './useTaps.ts'

/** A rover's errands on one day: what to do next on top, what is done below. */
export function Errands({ day, person, rover }: { day: string; person: string; rover: RoverBrief }) {
  const plan = usePlan()
  const all = useBoard(s => s.errands)
  const link = useBoard(s => s.link.is)
  const { taps, state } = useTaps(day, person)
  const mine = all.filter(e => e.rover === rover.code)
  const open = openErrandsOf(rover.code, all)
  const ended = mine.filter(e => !isOpenErrand(e)).reverse()
  const words = useErrandWords(day, `${link} ${mine.map(e => e.touchedAt).join(' ')}`)
  const phone = words.answer?.officePhone
  return (
    <main className={css.page}>
      <OfficeLine taps={taps} state={state} />
      <header>
        <h1>Your errands</h1>
        <p className={css.soft}>
          {plan.kind === 'practice' && <strong className={css.practice}>Practice day</strong>}
          {rover.name} · {plan.county}, {plan.name}
        </p>
      </header>
      {open.length === 0 && (
        <p className={css.none}>No errand now. The desk will send you one. Keep this page open.</p>
      )}
      {open.map(errand => (
        <ErrandCard
          key={errand.id}
          errand={errand}
          is={pressedTo(errand, state)}
          waiting={state.waiting.filter(t => t.errand === errand.id)}
          details={words.answer?.errands.find(e => e.id === errand.id) ?? null}
          problem={words.problem}
          onAgain={words.again}
          onTap={taps.tap}
        />
      ))}
      <Announcer ids={open.map(e => e.id)} />
      {ended.length > 0 && (
        <section aria-labelledby="ended">
          <h2 id="ended">Done today</h2>
          <ul className={css.ended}>
            {ended.map(errand => (
              <li key={errand.id}>
                {placeOf(errand.precinct, plan)?.name ?? errand.precinct}:{' '}
                {errandWords(errand, plan.timeZone)}
              </li>
            ))}
          </ul>
        </section>
      )}
      {phone && (
        <a className={css.press} href={`tel:${phone}`}>
          Ring the desk, {phone}
        </a>
      )}
      <p className={css.caution}>
        Operational picture. No votes, no results. Never name a voter. Follow your state’s law, your county’s
        procedures and counsel.
      </p>
    </main>
  )
}

/** Tells a screen reader of errands that came since the page was opened. */
function Announcer({ ids }: { ids: readonly string[] }) {
  const plan = usePlan()
  const errands = useBoard(s => s.errands)
  const known = useRef<Set<string> | null>(null)
  const [said, setSaid] = useState('')
  const key = ids.join(' ')
  // biome-ignore lint/correctness/useExhaustiveDependencies: the list of ids says when there is news
  useEffect(() => {
    const fresh = known.current === null ? [] : ids.filter(id => !known.current!.has(id))
    known.current = new Set([...(known.current ?? []), ...ids])
    const names = fresh.map(id => {
      const errand = errands.find(e => e.id === id)
      return (errand && placeOf(errand.precinct, plan)?.name) ?? id
    })
    if (names.length > 0) setSaid(`New errand: ${names.join(', ')}.`)
  }, [key])
  return (
    <div className="vh" role="status" aria-live="polite">
      {said}
    </div>
  )
}
