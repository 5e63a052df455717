'use client'
import { useState } from 'react'
import { peopleChanges } from '../../../server/protocol/peopleChanges.ts'
import { useAsked } from '../asking.ts'
import { Columns } from '../columns.tsx'
import { Problems } from '../problems.tsx'
import css from '../setup.module.css'
import { authorWords, changedAt, changeWords } from './changeWords.ts'

/** Who changed what about people and programs: a page at a time, newest first, in county time. */
export function Changes() {
  const [before, setBefore] = useState<number | null>(null)
  const path = before === null ? 'people/changes' : `people/changes?before=${before}`
  const { value, problems } = useAsked(path, peopleChanges, 10_000)
  const oldest = value?.changes.at(-1)?.position
  return (
    <section aria-labelledby="changes">
      <h2 id="changes">Changes</h2>
      <p>
        Who changed what about people and programs. The database only adds to this record; nobody can alter it
        here.
      </p>
      <Problems problems={problems} />
      {value === null ? (
        <p role="status">Looking for the changes…</p>
      ) : value.changes.length === 0 ? (
        <p>Nothing was changed yet.</p>
      ) : (
        <div className={css.wide}>
          <table className={css.table}>
            <Columns names={['when', 'who', 'what']} />
            <tbody>
              {value.changes.map(change => (
                <tr key={change.position}>
                  <td>
                    <time dateTime={change.at}>{changedAt(change.at, value.timeZone)}</time>
                  </td>
                  <th scope="row">{authorWords(change)}</th>
                  <td>{changeWords(change)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      <p className={css.row}>
        {value?.more === true && oldest !== undefined && (
          <button type="button" className="button quiet" onClick={() => setBefore(oldest)}>
            Earlier changes
          </button>
        )}
        {before !== null && (
          <button type="button" className="button quiet" onClick={() => setBefore(null)}>
            Back to the latest
          </button>
        )}
      </p>
    </section>
  )
}
