'use client'
import { VoterWarning } from '../parts/voterWarning.tsx'
import css from './callCard.module.css'

type Props = {
  problem: string | null
  guard: { asks: boolean; allow(): void }
  /** Sends it after all, once the warning was answered. */
  onSend(): void
  onCancel(): void
  busy: boolean
  title: string
  busyTitle: string
}

/** The foot of a form on a call: why it was not done, the question about somebody's name, and the two buttons. */
export function FormFoot({ problem, guard, onSend, onCancel, busy, title, busyTitle }: Props) {
  return (
    <>
      {problem && (
        <p className={css.problem} role="alert">
          {problem}
        </p>
      )}
      <VoterWarning
        asks={guard.asks}
        onAnyway={() => {
          guard.allow()
          onSend()
        }}
      />
      <div className={css.buttons}>
        <button type="button" className="button quiet" onClick={onCancel}>
          Cancel
        </button>
        <button type="submit" className="button" disabled={busy}>
          {busy ? busyTitle : title}
        </button>
      </div>
    </>
  )
}
