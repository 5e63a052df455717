'use client'
import { fromRfc3339 } from '../../../server/domain/time.ts'
import { useWords } from '../words/WordsContext.tsx'
import css from './notices.module.css'
import type { Notices } from './useNotices.ts'

/** Every notice of today that was read or closed; the new ones stand on top. */
export function NoticesToday({ notices, time }: { notices: Notices; time(at: number): string }) {
  const { notices: W } = useWords()
  const old = notices.all.filter(n => !n.fresh)
  if (old.length === 0) return null
  return (
    <section className="pp-section" aria-labelledby="pp-notices">
      <h2 id="pp-notices">{W.today}</h2>
      <ul className="pp-list">
        {old.map(n => (
          <li key={n.id}>
            <span className={css.text}>
              <span className="pp-time">{time(fromRfc3339(n.at))}</span> {n.text}
            </span>
            {n.read && <span className="pp-soft">{W.isRead}</span>}
          </li>
        ))}
      </ul>
    </section>
  )
}
