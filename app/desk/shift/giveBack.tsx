'use client'
import { useState } from 'react'
import css from './shift.module.css'

type Props = { held: number; said: string; onGiveBack(): Promise<void> }

/** Gives back every call that one holds, after asking once. */
export function GiveBack({ held, said, onGiveBack }: Props) {
  const [asks, setAsks] = useState(false)
  const [busy, setBusy] = useState(false)
  async function give() {
    setBusy(true)
    await onGiveBack()
    setBusy(false)
    setAsks(false)
  }
  const calls = held === 1 ? 'the call' : `all ${held} calls`
  return (
    <div className={css.giveBack}>
      {held > 0 && !asks && (
        <button type="button" className="button quiet" onClick={() => setAsks(true)}>
          Give back all that I hold ({held})
        </button>
      )}
      {held > 0 && asks && (
        <>
          <p>Give back {calls} that you hold? Print first if the sheet is to say that they were yours.</p>
          <button type="button" className="button" disabled={busy} onClick={give}>
            {busy ? 'Giving back…' : `Yes, give back ${calls}`}
          </button>
          <button type="button" className="button quiet" disabled={busy} onClick={() => setAsks(false)}>
            No
          </button>
        </>
      )}
      <p role="status">{said}</p>
    </div>
  )
}
