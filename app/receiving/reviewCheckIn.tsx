'use client'
import { useEffect, useRef } from 'react'
import type { ReturnOnWire } from '../../server/protocol/returns.ts'
import { type CheckInDraft, itemsOf } from './checkInDraft.ts'
import css from './receiving.module.css'
import { counted, itemName, people } from './returnWords.ts'

type Props = {
  one: ReturnOnWire
  draft: CheckInDraft
  offered: readonly string[]
  busy: boolean
  /** It was received meanwhile: first that is answered. */
  stopped: boolean
  onChange(): void
  onCheckIn(): void
}

/** One look over it before it is written down for good. */
export function ReviewCheckIn({ one, draft, busy, stopped, onChange, onCheckIn }: Props) {
  const heading = useRef<HTMLHeadingElement>(null)
  useEffect(() => heading.current?.focus(), [])
  const items = itemsOf(draft)
  const notTicked = (one.sent.items ?? []).filter(item => !items.includes(item))
  const known = one.sent.said || one.sent.seals > 0
  return (
    <div className={css.review}>
      <h3 ref={heading} tabIndex={-1}>
        Look it over
      </h3>
      <dl className={css.facts}>
        <div>
          <dt>Brought by</dt>
          <dd>{people(Number(draft.carriers))}</dd>
        </div>
        <div>
          <dt>Items</dt>
          <dd>
            {items.length === 0 ? 'none' : items.map(itemName).join(', ')}
            {notTicked.length > 0 && (
              <strong className={css.block}>Not ticked: {notTicked.map(itemName).join(', ')}</strong>
            )}
          </dd>
        </div>
        <div>
          <dt>Seals</dt>
          <dd>
            {draft.seals.length === 0 ? 'none' : draft.seals.join(', ')}
            {known && draft.seals.length !== one.sent.seals && (
              <strong className={css.block}>
                {counted(draft.seals.length, 'seal')} typed, {one.sent.seals} expected
              </strong>
            )}
          </dd>
        </div>
        {draft.deliveredBy.trim() !== '' && (
          <div>
            <dt>Who</dt>
            <dd>{draft.deliveredBy.trim()} (in the record only)</dd>
          </div>
        )}
        {draft.note.trim() !== '' && (
          <div>
            <dt>Note</dt>
            <dd>{draft.note.trim()}</dd>
          </div>
        )}
      </dl>
      <p className={css.soft}>
        Read each seal once more against the bag. What you check in is written down for good, and compared
        with what was sent.
      </p>
      <p className={css.buttons}>
        <button type="button" className="button" disabled={busy || stopped} onClick={onCheckIn}>
          {busy ? 'Checking in…' : 'Check in'}
        </button>
        <button type="button" className="button quiet" disabled={busy} onClick={onChange}>
          Change something
        </button>
      </p>
    </div>
  )
}
