'use client'
import { count } from '../../../server/domain/log/fields.ts'
import { useWords } from '../words/WordsContext.tsx'
import css from './stepper.module.css'

const STEPS = [-1, 1, 10] as const
const LEAST = count.minValue ?? 0
const MOST = count.maxValue ?? 1_000_000

/** What is typed, or where it starts, moved on; within what a count may be. */
export function stepped(typed: string, from: number, by: number): string {
  const now = /^\d+$/.test(typed) ? Number(typed) : from
  return String(Math.min(MOST, Math.max(LEAST, now + by)))
}

/** −1, +1 and +10 beside the keypad, for counts that move a little at a time. */
export function Stepper({ from, typed, step }: { from: number; typed: string; step(by: number): void }) {
  const { counts: W } = useWords()
  return (
    <fieldset className={css.steps}>
      <legend className={css.legend}>{W.steps}</legend>
      {STEPS.map(by => (
        <button key={by} type="button" onClick={() => step(by)}>
          {by < 0 ? `−${-by}` : `+${by}`}
        </button>
      ))}
      <p className={css.from} aria-live="polite">
        {typed === '' ? W.from(from) : typed}
      </p>
    </fieldset>
  )
}
