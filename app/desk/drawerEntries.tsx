'use client'
import { isErrandKind } from '../../server/domain/log/kindsOfErrand.ts'
import { fromRfc3339, MINUTE } from '../../server/domain/time.ts'
import type { EntryOnWire } from '../../server/protocol/board.ts'
import { lengthWords } from '../live/clock.ts'
import { useBoard } from '../live/useBoard.ts'
import { entryWords, type Names, shownWords, sourceWords } from '../parts/entryWords.ts'
import css from './drawer.module.css'
import type { DetailState } from './useDetail.ts'
import { useEntryNames } from './useEntryNames.ts'

/** What was recorded of this precinct, latest first: what, by whom, when it happened and when it was recorded. */
export function Entries({ asked }: { asked: DetailState }) {
  const { detail, loading } = asked
  const names = useEntryNames()
  return (
    <section aria-labelledby="entries">
      <h3 id="entries">
        Entries {loading && detail && <span className={css.soft}>(asking for newer)</span>}
      </h3>
      {detail && detail.entries.length === 0 && <p className={css.soft}>Nothing recorded yet.</p>}
      <ol className={css.entries}>
        {detail?.entries.map(entry => (
          <EntryLine key={entry.position} entry={entry} names={names} />
        ))}
      </ol>
    </section>
  )
}

function EntryLine({ entry, names }: { entry: EntryOnWire; names: Names }) {
  const people = useBoard(s => s.people)
  const late = fromRfc3339(entry.recordedAt) - fromRfc3339(entry.occurredAt)
  const wrote = typeof entry.origin.wrote === 'string' ? people[entry.origin.wrote] : undefined
  const { acceptedBy } = entry.origin
  const accepted = typeof acceptedBy === 'string' ? (people[acceptedBy] ?? 'the desk') : null
  const words = shownWords(entry)
  return (
    <li>
      <p>
        <time dateTime={entry.occurredAt}>{names.time(entry.occurredAt)}</time> {entryWords(entry, names)}
      </p>
      {words && <p className={css.words}>“{words}”</p>}
      <p className={css.soft}>
        {isErrandKind(entry.kind) && wrote ? `by ${wrote}` : sourceWords(entry.origin)}
        {!isErrandKind(entry.kind) && wrote && `, written by ${wrote}`}
        {accepted !== null && `, kept aside and accepted by ${accepted}`}
        {' · '}
        recorded {names.time(entry.recordedAt)}
        {late >= MINUTE && `, ${lengthWords(late)} after`}
        {entry.origin.unmeasured === true && ', time not measured'}
        {' · '}entry {entry.position.toLocaleString('en-US')}
      </p>
    </li>
  )
}
