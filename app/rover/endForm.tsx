'use client'
import { type FormEvent, useState } from 'react'
import type { MoveCommand } from '../parts/errandWords.ts'
import { useVoterGuard } from '../parts/useVoterGuard.ts'
import { VoterWarning } from '../parts/voterWarning.tsx'
import css from './rover.module.css'

const WHYS = ['I can’t get there.', 'I am needed elsewhere.', 'I can’t mend this.']

/** The last step: finished with a note, or given back with why. The words may be left out. */
export function EndForm({
  command,
  onEnd,
  onCancel,
}: {
  command: Extract<MoveCommand, 'FinishErrand' | 'GiveBackErrand'>
  onEnd(command: MoveCommand, words: string | null): void
  onCancel(): void
}) {
  const [words, setWords] = useState('')
  const guard = useVoterGuard([words])
  const back = command === 'GiveBackErrand'

  function submit(event?: FormEvent) {
    event?.preventDefault()
    if (guard.stops()) return
    onEnd(command, words.trim() === '' ? null : words.trim())
  }

  return (
    <form className={css.end} onSubmit={submit}>
      <label>
        {back ? 'Why do you give it back?' : 'A note for the office: what you did, what is left'}
        <span className={css.soft}> (no voter is named)</span>
        <textarea
          rows={3}
          maxLength={1000}
          value={words}
          onChange={e => setWords(e.target.value)}
          // biome-ignore lint/a11y/noAutofocus: the form opens at the person's own press
          autoFocus
        />
      </label>
      {back && (
        <div className={css.whys}>
          {WHYS.map(why => (
            <button key={why} type="button" className={css.press} onClick={() => setWords(why)}>
              {why}
            </button>
          ))}
        </div>
      )}
      <VoterWarning
        asks={guard.asks}
        onAnyway={() => {
          guard.allow()
          submit()
        }}
      />
      <button type="submit" className={`${css.press} ${css.next}`}>
        {back ? 'Give it back' : 'Finished'}
      </button>
      <button type="button" className={css.press} onClick={onCancel}>
        Not yet
      </button>
    </form>
  )
}
