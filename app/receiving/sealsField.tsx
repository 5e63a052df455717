'use client'
import { useId, useRef } from 'react'
import { addSeal, type CheckInDraft } from './checkInDraft.ts'
import { Field } from './field.tsx'
import css from './receiving.module.css'
import { counted } from './returnWords.ts'

type Props = {
  draft: CheckInDraft
  problem: string | undefined
  onDraft(draft: CheckInDraft): void
  onProblem(words: string | undefined): void
}

/** Seals one after another, by keyboard or scanner: Enter adds. Neither which numbers are expected is told, nor how many. */
export function SealsField({ draft, problem, onDraft, onProblem }: Props) {
  const id = useId()
  const field = useRef<HTMLInputElement>(null)
  function add(typed = draft.seal) {
    const added = addSeal(draft, typed)
    onProblem(added.ok ? undefined : added.problem)
    if (added.ok) onDraft(added.draft)
    field.current?.focus()
  }
  return (
    <fieldset className={css.group}>
      <legend>Seals</legend>
      <Field
        id={id}
        label="Number as it stands on the seal"
        help="Read each from the seal itself; Enter or the scanner adds it."
        problem={problem}
      >
        {props => (
          <div className={css.adds}>
            <input
              {...props}
              ref={field}
              value={draft.seal}
              autoComplete="off"
              autoCapitalize="characters"
              spellCheck={false}
              onChange={e => onDraft({ ...draft, seal: e.target.value })}
              onKeyDown={e => {
                if (e.key !== 'Enter') return
                e.preventDefault()
                add()
              }}
            />
            <button type="button" className="button quiet" onClick={() => add()}>
              Add<span className="vh"> the seal</span>
            </button>
          </div>
        )}
      </Field>
      <p role="status" className={css.soft}>
        {draft.seals.length === 0 ? 'None typed yet.' : `${counted(draft.seals.length, 'seal')} typed.`}
      </p>
      <ol className={css.seals}>
        {draft.seals.map(seal => (
          <li key={seal}>
            <span>{seal}</span>
            <button
              type="button"
              className="button quiet"
              onClick={() => onDraft({ ...draft, seals: draft.seals.filter(other => other !== seal) })}
            >
              Take off<span className="vh"> seal {seal}</span>
            </button>
          </li>
        ))}
      </ol>
    </fieldset>
  )
}
