'use client'
import { useEffect, useRef, useState } from 'react'
import type { ReturnOnWire } from '../../server/protocol/returns.ts'
import { clockWords } from '../live/clock.ts'
import { usePlan } from '../live/useBoard.ts'
import css from './receiving.module.css'
import { counted, differenceWords, differs, itemName, people } from './returnWords.ts'

type Props = {
  day: string
  one: ReturnOnWire
  /** Just checked in here. */
  fresh: boolean
  problem: string | null
  onAsk(): void
  onAnew(position: number): void
  onClose(): void
}

/** A return that is here: how it compares with what was sent, its receipt, and the way to check it in anew. */
export function Received({ day, one, fresh, problem, onAsk, onAnew, onClose }: Props) {
  const plan = usePlan()
  const [asks, setAsks] = useState(false)
  const heading = useRef<HTMLHeadingElement>(null)
  useEffect(() => heading.current?.focus(), [])
  const { received } = one
  if (!received)
    return (
      <div className={css.form}>
        <h2 ref={heading} tabIndex={-1}>
          {one.name}
        </h2>
        <p role="status">
          {problem === null
            ? 'It is checked in; fetching how it compares…'
            : `It is checked in, but how it compares could not be fetched: ${problem}`}
        </p>
        <p className={css.buttons}>
          <button type="button" className="button" onClick={onAsk}>
            Ask again
          </button>
          <button type="button" className="button quiet" onClick={onClose}>
            Close
          </button>
        </p>
      </div>
    )
  const time = clockWords(Date.parse(received.at), plan.timeZone)
  const checkedIn = received.via === 'desk'
  const by = received.by ? ` by ${received.by}` : ''
  return (
    <div className={css.form}>
      <header className={css.top}>
        <div>
          <h2 ref={heading} tabIndex={-1}>
            {fresh ? `${one.name} is checked in` : one.name}
          </h2>
          <p className={css.soft}>
            {checkedIn
              ? `Checked in at ${time}${by}${received.station ? `, ${received.station.name}` : ''}`
              : `Said to be received at ${time}${received.via === 'device' ? ' by its own tablet' : `, written down${by}`}; not checked in at a table`}
          </p>
        </div>
        <button type="button" className="button quiet" onClick={onClose}>
          {fresh ? 'Next return' : 'Close'}
        </button>
      </header>

      {checkedIn ? (
        <Compared one={one} />
      ) : (
        <p role="status" className={css.notice}>
          Not compared yet: nobody here has looked at it. Check it in with what is on the table.
        </p>
      )}

      {checkedIn && (
        <dl className={css.facts}>
          <div>
            <dt>Receipt</dt>
            <dd>{received.receipt}</dd>
          </div>
          <div>
            <dt>Brought by</dt>
            <dd>{received.carriers === null ? 'not said' : people(received.carriers)}</dd>
          </div>
          <div>
            <dt>Items</dt>
            <dd>{received.items.map(itemName).join(', ') || 'none'}</dd>
          </div>
          <div>
            <dt>Seals</dt>
            <dd>{received.seals.join(', ') || 'none'}</dd>
          </div>
        </dl>
      )}

      <p className={css.buttons}>
        {checkedIn && (
          <a
            className="button"
            href={`/receiving/receipt?day=${encodeURIComponent(day)}&precinct=${encodeURIComponent(one.precinct)}`}
            target="_blank"
            rel="noreferrer"
          >
            Receipt to print
          </a>
        )}
        {!asks && (
          <button type="button" className="button quiet" onClick={() => setAsks(true)}>
            {checkedIn ? 'Check in again' : 'Check in'}
          </button>
        )}
      </p>
      {asks && (
        <div className={css.notice}>
          <p>
            {checkedIn
              ? `Already checked in at ${time}${by}. Check in again? Both stay in the log; the later one counts, with a receipt of its own.`
              : 'It was only said to be received. Check it in with what is on the table?'}
          </p>
          <p className={css.buttons}>
            <button type="button" className="button quiet" onClick={() => onAnew(received.position)}>
              {checkedIn ? 'Yes, check in again' : 'Yes, check it in'}
            </button>
            <button type="button" className="button quiet" onClick={() => setAsks(false)}>
              No
            </button>
          </p>
        </div>
      )}
    </div>
  )
}

function Compared({ one }: { one: ReturnOnWire }) {
  if (one.difference === null)
    return (
      <p role="status" className={css.notice}>
        There was nothing to compare with: the precinct did not say what it sent, and the plan has no seals
        for the evening.
      </p>
    )
  if (!differs(one))
    return (
      <p role="status" className={css.agrees}>
        {one.sent.said
          ? `All as sent: ${counted(one.received!.items.length, 'item')}, ${counted(one.received!.seals.length, 'seal')}.`
          : `The seals are those of the plan. The precinct did not say which items it sent, so they were not compared.`}
      </p>
    )
  return (
    <div role="alert" className={css.differ}>
      <p>
        <strong>It differs from what was sent.</strong>
      </p>
      <ul>
        {differenceWords(one.difference).map(words => (
          <li key={words}>{words}</li>
        ))}
      </ul>
      <p>
        The desk has it on its call list already. Call the desk now, and go on as your county’s procedure
        says; nobody explains a difference by changing what was found.
      </p>
    </div>
  )
}
