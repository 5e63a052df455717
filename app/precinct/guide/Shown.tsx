'use client'
import { useWords } from '../words/WordsContext.tsx'
import { Drawing } from './Drawing.tsx'
import css from './guide.module.css'
import type { Shows } from './shows.ts'

/** A drawing with what is to be done and seen beside it. */
export function Shown({ shows }: { shows: Shows }) {
  const { guide: W } = useWords()
  return (
    <div className="pp-beside">
      <Drawing name={shows.drawing} />
      <div>
        {shows.how && (
          <p className={css.how} lang={shows.how.lang}>
            {shows.how.text}
          </p>
        )}
        {shows.see && (
          <p className={css.see}>
            <strong>{W.see}</strong> <span lang={shows.see.lang}>{shows.see.text}</span>
          </p>
        )}
      </div>
    </div>
  )
}
