'use client'
import type { DayMarks } from '../../server/protocol/review.ts'
import { clockWords } from '../live/clock.ts'
import { usePlan } from '../live/useBoard.ts'
import { bandWords } from './moments.ts'
import css from './review.module.css'
import type { Reviewing, Shown } from './useReview.ts'

/** Differences that are named at once; the others stand behind a disclosure. */
const NAMED = 6

type Props = { review: Reviewing; marks: DayMarks; shown: Shown; onOpen(code: string): void }

/** Says, in words and by its hatching, that this is the record and not the live board. */
export function Band({ review, marks, shown, onOpen }: Props) {
  const behind = review.problem === null && review.at !== shown.at
  return (
    <div className={css.band}>
      <p className={css.words}>
        <strong>{bandWords(shown.view, shown.at, marks.timeZone)}</strong> Not live.
        {marks.kind === 'practice' && ' Practice day.'}
      </p>
      <p className={css.beside} role="status">
        {behind && `asking for ${clockWords(review.at, marks.timeZone)}…`}
        {review.problem !== null && (
          <span className="wrong">
            {review.problem} The picture before it is kept.{' '}
            <button type="button" className="button quiet" onClick={() => review.go({ at: review.at })}>
              Ask again
            </button>
          </span>
        )}
      </p>
      {shown.differences !== null && <Differences shown={shown} onOpen={onOpen} />}
    </div>
  )
}

function Differences({ shown, onOpen }: Pick<Props, 'shown' | 'onOpen'>) {
  const plan = usePlan()
  const all = shown.differences ?? []
  const name = (code: string) => plan.precincts.find(p => p.code === code)?.name ?? code
  const link = ({ code, what }: (typeof all)[number]) => (
    <li key={code}>
      <button type="button" className={css.open} onClick={() => onOpen(code)}>
        {name(code)}
      </button>{' '}
      <span className="soft">({what.join(', ')})</span>
    </li>
  )
  return (
    <div className={css.differences}>
      <p>
        Leaves aside what the system concluded then: silence, reasons, the call list.{' '}
        {all.length === 0
          ? 'Nothing else differs from what was known then.'
          : all.length === 1
            ? '1 precinct differs from what was known then:'
            : `${all.length} precincts differ from what was known then:`}
      </p>
      {all.length > 0 && <ul>{all.slice(0, NAMED).map(link)}</ul>}
      {all.length > NAMED && (
        <details>
          <summary>{all.length - NAMED} more</summary>
          <ul>{all.slice(NAMED).map(link)}</ul>
        </details>
      )}
    </div>
  )
}
