'use client'
import { useEffect, useRef } from 'react'
import { VOTER_MINUTES } from '../parts/vocabulary.ts'
import css from './keysDialog.module.css'

export const KEYS: ReadonlyArray<readonly [string, string]> = [
  ['↑ ↓ or k j', 'move in the precincts'],
  ['Enter', 'open the precinct'],
  ['t', 'take the call of the chosen precinct, else the next on the list'],
  ['l', 'log how my call ended'],
  ['d', 'put the call off'],
  ['c', 'write in what somebody says'],
  ['/', 'search'],
  ['Ctrl+Enter', 'send the form'],
  ['Esc', 'close'],
  ['?', 'these keys'],
]

/** Modal while it is in the page; Escape and the button close it, and focus goes back to where it was. */
export function KeysDialog({ onClose }: { onClose(): void }) {
  const dialog = useRef<HTMLDialogElement>(null)
  useEffect(() => {
    const before = document.activeElement
    dialog.current?.showModal()
    return () => {
      if (before instanceof HTMLElement) before.focus({ preventScroll: true })
    }
  }, [])
  return (
    <dialog ref={dialog} className={css.keys} aria-labelledby="keys" onClose={onClose}>
      <h2 id="keys">Keys</h2>
      <dl>
        {KEYS.map(([key, what]) => (
          <div key={key}>
            <dt>
              <kbd>{key}</kbd>
            </dt>
            <dd>{what}</dd>
          </div>
        ))}
      </dl>
      <p>
        <strong>Voter-minutes</strong> of a call: {VOTER_MINUTES}.
      </p>
      <button type="button" className="button" onClick={onClose}>
        Close
      </button>
    </dialog>
  )
}
