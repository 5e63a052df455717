'use client'
import { useState } from 'react'
import type { BoardRow } from '../../server/domain/day/row.ts'
import type { Instant } from '../../server/domain/time.ts'
import { ageWords, lengthWords } from '../live/clock.ts'
import { refusalWords, useDesk } from './deskContext.ts'
import { IssueCode } from './devices/issueCode.tsx'
import css from './drawer.module.css'

const SKEW_SHOWN_SECONDS = 60

/** The device as it describes itself, in words. */
export function deviceWords(device: NonNullable<BoardRow['device']>): string {
  const parts: string[] = []
  if (device.battery !== null) parts.push(`battery ${device.battery}%${device.charging ? ', charging' : ''}`)
  parts.push(
    device.waiting === 0 ? 'nothing waiting to be sent' : `${device.waiting} reports waiting to be sent`,
  )
  if (Math.abs(device.skewSeconds) >= SKEW_SHOWN_SECONDS)
    parts.push(
      `its clock is ${lengthWords(Math.abs(device.skewSeconds) * 1_000)} ${device.skewSeconds > 0 ? 'ahead' : 'behind'} (times are corrected)`,
    )
  return parts.join(' · ')
}

export function DeviceBox({ code, row, now }: { code: string; row: BoardRow; now: Instant }) {
  const { mayAct, send } = useDesk()
  const [asking, setAsking] = useState<string | null>(null)
  const [said, setSaid] = useState('')
  const [busy, setBusy] = useState(false)
  const { device } = row

  async function revoke(id: string) {
    setBusy(true)
    const words = refusalWords(await send('RevokeDevice', { device: id }))
    setBusy(false)
    setAsking(null)
    setSaid(words ?? 'Revoked. Its key works no more.')
  }

  return (
    <section aria-labelledby="device">
      <h3 id="device">Device</h3>
      {device === null ? (
        <p className={css.soft}>No device has spoken for this precinct.</p>
      ) : (
        <p>
          {deviceWords(device)}
          {row.heardAt !== null && <span className={css.soft}> · heard {ageWords(now - row.heardAt)}</span>}
        </p>
      )}
      {mayAct && (
        <div className={css.buttons}>
          {device !== null && asking !== device.id && (
            <button
              type="button"
              className="button quiet"
              disabled={busy}
              onClick={() => setAsking(device.id)}
            >
              Revoke the device
            </button>
          )}
        </div>
      )}
      {device !== null && asking === device.id && (
        <section className={css.confirm} aria-label="Revoke the device?">
          <p>
            Revoke it? It can report no more, and what still waits on it is not sent. Another needs a new
            code.
          </p>
          <div className={css.buttons}>
            <button type="button" className="button quiet" onClick={() => setAsking(null)}>
              Keep it
            </button>
            <button type="button" className="button" disabled={busy} onClick={() => revoke(device.id)}>
              Revoke
            </button>
          </div>
        </section>
      )}
      <p role="status" className={css.soft}>
        {said}
      </p>
      {mayAct && <IssueCode key={code} code={code} row={row} now={now} />}
    </section>
  )
}
