'use client'
import css from './drawer.module.css'
import type { DetailState } from './useDetail.ts'

export function Contacts({ asked }: { asked: DetailState & { again(): void } }) {
  const { detail, problem, loading, again } = asked
  return (
    <section aria-labelledby="contacts">
      <h3 id="contacts">Contact and place</h3>
      {problem && (
        <p className="wrong" role="alert">
          {problem}{' '}
          <button type="button" className="button quiet" onClick={again}>
            Ask again
          </button>
        </p>
      )}
      {!detail && loading && <p className={css.soft}>Asking…</p>}
      {detail && (
        <>
          <ul className={css.contacts}>
            {detail.contacts.map(contact => (
              <li key={contact.role + contact.phone}>
                <a href={`tel:${contact.phone}`}>{contact.phone}</a> {contact.role}, {contact.name}
              </li>
            ))}
            {detail.contacts.length === 0 && <li className={css.soft}>The plan names no contact.</li>}
          </ul>
          <p>
            {detail.place.name}
            {detail.place.address && `, ${detail.place.address}`}
            {detail.place.phone && (
              <>
                , <a href={`tel:${detail.place.phone}`}>{detail.place.phone}</a>
              </>
            )}
          </p>
        </>
      )}
    </section>
  )
}
