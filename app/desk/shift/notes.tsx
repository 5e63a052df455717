'use client'
import { clockWords } from '../../live/clock.ts'
import { usePlan } from '../../live/useBoard.ts'
import { shownWords } from '../../parts/entryWords.ts'
import { outcomeWords } from '../../parts/vocabulary.ts'
import css from './shift.module.css'
import { NOTES_MS, useRecentNotes } from './useRecentNotes.ts'

type Props = { day: string; where(code: string | null): string; nameOf(id: string | null): string }

/** What people at the desk wrote in the last two hours, latest first. */
export function Notes({ day, where, nameOf }: Props) {
  const { timeZone } = usePlan()
  const { found, problem, again } = useRecentNotes(day)
  const time = (at: number) => clockWords(at, timeZone)
  return (
    <section aria-labelledby="notes">
      <div className={css.heading}>
        <h2 id="notes">
          Notes of the last two hours
          {found && <span className={css.soft}> since {time(found.onlySince ?? found.at - NOTES_MS)}</span>}
        </h2>
        <button type="button" className="button quiet" onClick={again}>
          Ask anew
        </button>
      </div>
      {problem !== null && <p className="wrong">The notes could not be fetched: {problem}.</p>}
      {found === null && problem === null && <p role="status">Fetching the notes…</p>}
      {found?.onlySince != null && (
        <p>So much was recorded that only what came since {time(found.onlySince)} was looked through.</p>
      )}
      {found?.notes.length === 0 && <p>None.</p>}
      {found && found.notes.length > 0 && (
        <ul className={css.notes}>
          {found.notes.map(entry => (
            <li key={entry.position}>
              <strong>
                {time(Date.parse(entry.occurredAt))} {where(entry.precinct)}
              </strong>{' '}
              <span className={css.soft}>
                {kindWords(entry.kind, entry.body.outcome)},{' '}
                {nameOf(typeof entry.origin.wrote === 'string' ? entry.origin.wrote : null)}:
              </span>{' '}
              {shownWords(entry) || 'its words were erased'}
            </li>
          ))}
        </ul>
      )}
    </section>
  )
}

function kindWords(kind: string, outcome: unknown): string {
  if (kind === 'CallLogged') return `call, ${outcomeWords(String(outcome))}`
  return kind === 'CallDeferred' ? 'call put off' : 'note'
}
