'use client'
import { useEffect, useRef, useState } from 'react'
import { lineWords } from '../../server/domain/calls/words.ts'
import type { CallLine } from '../../server/domain/day/row.ts'
import { useBoard, usePlan } from '../live/useBoard.ts'
import { CallCard, lineName } from './callCard.tsx'
import css from './callList.module.css'
import { useDesk } from './deskContext.ts'
import { orderCalls } from './pick.ts'

export function CallList() {
  const { me } = useDesk()
  const calls = useBoard(s => s.calls)
  const still = useBoard(s => s.still)
  const lines = orderCalls(calls, me.id)
  const back = lines.filter(l => l.steppedBack).length
  return (
    <section className={css.list} aria-labelledby="call-next">
      <div className={css.top}>
        <h2 id="call-next">{still ? 'Call list' : 'Call next'}</h2>
        <span>
          {lines.length} {lines.length === 1 ? 'call' : 'calls'}
          {back > 0 && ` · ${back} stepped back`}
        </span>
      </div>
      {lines.length === 0 ? (
        <p className={css.none}>{NONE[still ?? 'live']}</p>
      ) : (
        <ol>
          {lines.map(line => (
            <li key={line.key}>
              <CallCard line={line} />
            </li>
          ))}
        </ol>
      )}
      {!still && <Announcer />}
    </section>
  )
}

const NONE = {
  live: 'Nobody needs a call. When a precinct does, its call stands here with what to ask.',
  known: 'Nobody needed a call at this instant.',
  happened: 'Left aside: reasons are what the system concluded from what was known then.',
} as const

const MOST_NAMED = 3

/** What is said aloud of lines that are new among stop and now; empty: nothing. */
export function announcement(
  known: ReadonlySet<string>,
  calls: readonly CallLine[],
  name: (l: CallLine) => string,
): string {
  const fresh = calls.filter(
    l => (l.tier === 'stop' || l.tier === 'now') && !l.steppedBack && !known.has(`${l.tier} ${l.key}`),
  )
  if (fresh.length === 0) return ''
  const named = fresh.slice(0, MOST_NAMED).map(name).join('. ')
  const more = fresh.length - MOST_NAMED
  return `New on the call list: ${named}${more > 0 ? `, and ${more} more` : ''}.`
}

/** Tells a screen reader politely of new lines that can't wait. What stands there at first is not news. */
function Announcer() {
  const plan = usePlan()
  const calls = useBoard(s => s.calls)
  const known = useRef<Set<string> | null>(null)
  const [said, setSaid] = useState('')
  useEffect(() => {
    const now = new Set(calls.map(l => `${l.tier} ${l.key}`))
    if (known.current !== null) {
      const words = announcement(
        known.current,
        calls,
        l => `${lineName(l, plan)}: ${lineWords(l, plan).headline}`,
      )
      if (words) setSaid(words)
    }
    known.current = now
  }, [calls, plan])
  return (
    <div className="vh" role="status" aria-live="polite">
      {said}
    </div>
  )
}
