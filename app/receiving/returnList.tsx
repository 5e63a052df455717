'use client'
import { memo } from 'react'
import type { ReturnOnWire } from '../../server/protocol/returns.ts'
import { clockWords, lengthWords } from '../live/clock.ts'
import { usePlan } from '../live/useBoard.ts'
import css from './receiving.module.css'
import { comparedWords, differs, type Where, whereOf } from './returnWords.ts'

/** Returns whose precinct or place has the words in its name, or the code in its code. */
export function found(all: readonly ReturnOnWire[], search: string): ReturnOnWire[] {
  const words = search.trim().toLowerCase()
  if (words === '') return [...all]
  // A whole name or code is that return and no other: a scanner's word, or a clerk's.
  const exact = all.filter(r => r.precinct.toLowerCase() === words || r.name.toLowerCase() === words)
  if (exact.length === 1) return exact
  return all.filter(r => [r.precinct, r.name, r.place.name].some(text => text.toLowerCase().includes(words)))
}

const TITLES: Record<Where, string> = {
  overdue: 'Overdue',
  said: 'Said to be received, not checked in',
  'under-way': 'On the way',
  'not-left': 'Not yet left',
  received: 'Received',
}
const ORDER: readonly Where[] = ['overdue', 'said', 'under-way', 'not-left', 'received']

const byName = (a: ReturnOnWire, b: ReturnOnWire) => a.name.localeCompare(b.name)
const arrival = (r: ReturnOnWire) => Date.parse(r.expected?.at ?? r.departedAt ?? '')
const inOrder: Record<Where, (a: ReturnOnWire, b: ReturnOnWire) => number> = {
  overdue: (a, b) => Date.parse(a.overdueAt) - Date.parse(b.overdueAt) || byName(a, b),
  said: byName,
  'under-way': (a, b) => arrival(a) - arrival(b) || byName(a, b),
  'not-left': byName,
  // What differs first, then the latest.
  received: (a, b) =>
    Number(differs(b)) - Number(differs(a)) ||
    Date.parse(b.received!.at) - Date.parse(a.received!.at) ||
    byName(a, b),
}

type Props = {
  all: readonly ReturnOnWire[]
  search: string
  now: number
  open: string | null
  onOpen(code: string): void
}

export function ReturnList({ all, search, now, open, onOpen }: Props) {
  const fitting = found(all, search)
  const shown = ORDER.map(where => ({
    where,
    rows: fitting.filter(r => whereOf(r, now) === where).sort(inOrder[where]),
  }))
  const counted = (where: Where) => all.filter(r => whereOf(r, now) === where).length
  return (
    <>
      <p className={css.counts}>
        {counted('received')} of {all.length} checked in,{' '}
        {counted('said') > 0 && `${counted('said')} only said to be received, `}
        {counted('under-way')} on the way, {counted('overdue')} overdue
      </p>
      {fitting.length === 0 && <p className={css.soft}>No precinct fits.</p>}
      {shown.map(
        ({ where, rows }) =>
          rows.length > 0 && (
            <section key={where} aria-label={TITLES[where]}>
              <h2>
                {TITLES[where]} <span className={css.soft}>{rows.length}</span>
              </h2>
              <ul className={css.list}>
                {rows.map(r => (
                  <Line
                    key={r.precinct}
                    one={r}
                    where={where}
                    now={now}
                    open={r.precinct === open}
                    onOpen={onOpen}
                  />
                ))}
              </ul>
            </section>
          ),
      )}
    </>
  )
}

type LineProps = { one: ReturnOnWire; where: Where; now: number; open: boolean; onOpen(code: string): void }

const Line = memo(function Line({ one, where, now, open, onOpen }: LineProps) {
  const { timeZone } = usePlan()
  const time = (at: string) => clockWords(Date.parse(at), timeZone)
  return (
    <li>
      <button
        type="button"
        className={css.line}
        aria-current={open ? 'true' : undefined}
        onClick={() => onOpen(one.precinct)}
      >
        <span className={css.name}>{one.name}</span>
        <span className={where === 'overdue' ? css.overdue : css.soft}>{words()}</span>
      </button>
    </li>
  )

  function words(): React.ReactNode {
    if (one.received) {
      const how = one.received.via === 'desk' ? 'received' : 'said to be received'
      return (
        <>
          {how} {time(one.received.at)},{' '}
          <span className={differs(one) ? css.differs : undefined}>{comparedWords(one)}</span>
        </>
      )
    }
    const late = Math.max(0, now - Date.parse(one.overdueAt))
    const overdue = where === 'overdue' ? `overdue since ${time(one.overdueAt)}, ${lengthWords(late)}; ` : ''
    if (one.departedAt === null)
      return `${overdue}${overdue ? 'not said to have left' : one.standing.replaceAll('-', ' ')}`
    const due = one.expected
      ? `estimated at ${one.expected.place.name} ${time(one.expected.at)}`
      : 'no estimate of its arrival'
    return `${overdue}left ${time(one.departedAt)}, ${due}`
  }
})
