'use client'
import { useRow } from '../live/useBoard.ts'
import css from './callCard.module.css'
import { useDesk } from './deskContext.ts'
import { useDetail } from './useDetail.ts'

/** Whom to ring, on a line that I have. */
export function CallPhones({ code }: { code: string }) {
  const { day } = useDesk()
  const row = useRow(code)
  // Contacts don't change with every entry: asked for once.
  const { detail, problem, loading, again } = useDetail(day, code, row ? 1 : 0)
  if (problem && !detail)
    return (
      <p className={css.problem}>
        Telephone numbers: {problem}{' '}
        <button type="button" className="button quiet" onClick={again}>
          Ask again
        </button>
      </p>
    )
  if (!detail) return <p className={css.ask}>{loading ? 'Fetching the telephone numbers…' : ''}</p>
  return (
    <ul className={css.phones}>
      {detail.contacts.map(contact => (
        <li key={contact.phone + contact.role}>
          <a href={`tel:${contact.phone}`}>{contact.phone}</a> {contact.role}, {contact.name}
        </li>
      ))}
      {detail.place.phone && (
        <li>
          <a href={`tel:${detail.place.phone}`}>{detail.place.phone}</a> {detail.place.name}
        </li>
      )}
      {detail.contacts.length === 0 && !detail.place.phone && <li>No telephone number in the plan.</li>}
    </ul>
  )
}
