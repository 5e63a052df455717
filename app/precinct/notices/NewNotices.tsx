'use client'
import { useState } from 'react'
import { fromRfc3339 } from '../../../server/domain/time.ts'
import type { SayOutcome } from '../../live/outbox.ts'
import { notSaved } from '../asking/notSaved.ts'
import { useWords } from '../words/WordsContext.tsx'
import css from './notices.module.css'
import type { Notices } from './useNotices.ts'

type Props = {
  notices: Notices
  time(at: number): string
  /** Tells the office that a notice was read. */
  read(id: number): Promise<SayOutcome>
}

/** What the office has to say, above everything else, until it was read or closed. */
export function NewNotices({ notices, time, read }: Props) {
  const words = useWords()
  const { notices: W } = words
  const [failed, setFailed] = useState<(SayOutcome & { ok: false }) | null>(null)
  const fresh = notices.all.filter(n => n.fresh)
  return (
    <section aria-live="polite" aria-label={W.title} className={css.fresh} hidden={fresh.length === 0}>
      {fresh.map(n => (
        <article key={n.id} className={css.notice}>
          <h2>{W.title}</h2>
          <p className="pp-soft">{W.at(time(fromRfc3339(n.at)))}</p>
          <p className={css.text}>{n.text}</p>
          <button
            type="button"
            className="pp-go"
            onClick={() => {
              if (!n.acknowledge) return notices.close(n.id)
              void read(n.id).then(outcome => setFailed(outcome.ok ? null : outcome))
            }}
          >
            {n.acknowledge ? W.read : W.close}
          </button>
        </article>
      ))}
      {failed && (
        <p className="pp-error" role="alert">
          {notSaved(failed, words)}
        </p>
      )}
    </section>
  )
}
