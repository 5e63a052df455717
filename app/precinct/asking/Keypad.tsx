'use client'
import { useWords } from '../words/WordsContext.tsx'

const KEYS = ['1', '2', '3', '4', '5', '6', '7', '8', '9'] as const
/** Counts end at a million. */
export const MOST_DIGITS = 7

/** Digits for thumbs. The field above takes a keyboard as well. */
export function Keypad({ value, onChange }: { value: string; onChange(value: string): void }) {
  const { asking: W } = useWords()
  const add = (digit: string) =>
    onChange(value.length < MOST_DIGITS ? (value === '0' ? digit : value + digit) : value)
  return (
    <div className="pp-keypad">
      {KEYS.map(key => (
        <button key={key} type="button" onClick={() => add(key)}>
          {key}
        </button>
      ))}
      <button type="button" className="pp-key-word" onClick={() => onChange('')}>
        {W.clear}
      </button>
      <button type="button" onClick={() => add('0')}>
        0
      </button>
      <button type="button" aria-label={W.erase} onClick={() => onChange(value.slice(0, -1))}>
        <span aria-hidden="true">⌫</span>
      </button>
    </div>
  )
}
