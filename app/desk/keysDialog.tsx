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
  ['r', 'send a rover to the chosen precinct, else for the next call'],
  ['c', 'write in what somebody says'],
  ['/', 'search'],
  ['Ctrl+Enter', 'send the form'],
  ['Esc', 'close'],
  ['?', 'these keys'],
]

/** Over a picture of the record: what looks, nothing that acts; and the slider's own. */
export const STILL_KEYS: typeof KEYS = [
  ['[ ]', 'a minute earlier, a minute later'],
  ['← → on the slider', 'a minute; Page Up and Page Down a quarter of an hour'],
  ['b n', 'the reason before, the next reason (stop and now)'],
  ['p', 'play, pause'],
  ...KEYS.filter(([key]) => !['t', 'l', 'd', 'r', 'c', 'Ctrl+Enter'].includes(key)),
]

/** Modal while it is in the page; Escape and the button close it, and focus goes back to where it was. */
export function KeysDialog({ keys = KEYS, onClose }: { keys?: typeof KEYS | undefined; onClose(): void }) {
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
        {keys.map(([key, what]) => (
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
