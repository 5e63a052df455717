'use client'
import { useEffect, useRef } from 'react'
import { type CheckInDraft, itemsOf } from './checkInDraft.ts'
import css from './receiving.module.css'
import { itemName, people } from './returnWords.ts'

type Props = {
  draft: CheckInDraft
  busy: boolean
  /** It was received meanwhile: first that is answered. */
  stopped: boolean
  onChange(): void
  onCheckIn(): void
}

/** One look over what was typed before it is written down for good. What was expected is told after, never before. */
export function ReviewCheckIn({ draft, busy, stopped, onChange, onCheckIn }: Props) {
  const heading = useRef<HTMLHeadingElement>(null)
  useEffect(() => heading.current?.focus(), [])
  const items = itemsOf(draft)
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
          <dd>{items.length === 0 ? 'none' : items.map(itemName).join(', ')}</dd>
        </div>
        <div>
          <dt>Seals</dt>
          <dd>{draft.seals.length === 0 ? 'none' : draft.seals.join(', ')}</dd>
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
