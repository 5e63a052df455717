'use client'
import { useId } from 'react'
import { addOther, type CheckInDraft, type DraftProblems } from './checkInDraft.ts'
import { Field } from './field.tsx'
import css from './receiving.module.css'
import { itemName } from './returnWords.ts'

type Props = {
  /** Whether the precinct named what it sent; otherwise the usual things are offered. */
  sent: boolean
  offered: readonly string[]
  draft: CheckInDraft
  problems: DraftProblems
  onDraft(draft: CheckInDraft): void
  onProblems(problems: DraftProblems): void
}

/** A checklist to tick while things are taken out, and a field for what isn't on it. */
export function ItemsField({ sent, offered, draft, problems, onDraft, onProblems }: Props) {
  const id = useId()
  function tick(item: string, on: boolean) {
    const ticked = on ? [...draft.ticked, item] : draft.ticked.filter(other => other !== item)
    onDraft({ ...draft, ticked })
    onProblems({ items: undefined })
  }
  function add() {
    const added = addOther(draft, offered)
    onProblems({ other: added.ok ? undefined : added.problem, items: undefined })
    if (added.ok) onDraft(added.draft)
  }
  return (
    <fieldset
      className={css.group}
      aria-describedby={`${id}h${problems.items ? ` ${id}p` : ''}`}
      aria-invalid={problems.items ? true : undefined}
      tabIndex={problems.items ? -1 : undefined}
    >
      <legend>Items</legend>
      <p id={`${id}h`} className={css.soft}>
        {sent
          ? 'What the precinct said it sent. Tick what you have seen.'
          : 'The precinct did not say what it sent; these are the usual things. Tick what you have seen.'}
      </p>
      <ul className={css.ticks}>
        {offered.map(item => (
          <li key={item}>
            <label>
              <input
                type="checkbox"
                checked={draft.ticked.includes(item)}
                onChange={e => tick(item, e.target.checked)}
              />
              {itemName(item)}
            </label>
          </li>
        ))}
        {draft.others.map(item => (
          <li key={item}>
            <span>{itemName(item)}</span>
            <button
              type="button"
              className="button quiet"
              onClick={() => onDraft({ ...draft, others: draft.others.filter(other => other !== item) })}
            >
              Take off<span className="vh"> {itemName(item)}</span>
            </button>
          </li>
        ))}
      </ul>
      {problems.items && (
        <em id={`${id}p`} className="wrong">
          {problems.items}
        </em>
      )}
      <Field id={`${id}o`} label="Something else" help="Enter adds it." problem={problems.other}>
        {props => (
          <div className={css.adds}>
            <input
              {...props}
              value={draft.other}
              autoComplete="off"
              onChange={e => onDraft({ ...draft, other: e.target.value })}
              onKeyDown={e => {
                if (e.key !== 'Enter') return
                e.preventDefault()
                add()
              }}
            />
            <button type="button" className="button quiet" onClick={add}>
              Add<span className="vh"> the item</span>
            </button>
          </div>
        )}
      </Field>
    </fieldset>
  )
}
