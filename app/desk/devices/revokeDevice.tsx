'use client'
import { useId, useState } from 'react'
import type { BoardRow } from '../../../server/domain/day/row.ts'
import { usePlan } from '../../live/useBoard.ts'
import { refusalWords, useDesk } from '../deskContext.ts'
import css from '../drawer.module.css'
import { type Device, deviceNames, useDevicesHere } from './useDevicesHere.ts'

/** Ends a device's key. Which one is chosen by its name: the lost tablet is seldom the one that was heard last. */
export function RevokeDevice({ code, row }: { code: string; row: BoardRow }) {
  const { send } = useDesk()
  const devicesHere = useDevicesHere(code)
  const { timeZone } = usePlan()
  const group = useId()
  const [there, setThere] = useState<Device[] | null>(null)
  const [chosen, setChosen] = useState<string | null>(null)
  const [said, setSaid] = useState('')
  const [busy, setBusy] = useState(false)

  async function begin() {
    setBusy(true)
    setSaid('')
    const devices = await devicesHere()
    setBusy(false)
    if (typeof devices === 'string') return setSaid(devices)
    if (devices.length === 0) return setSaid('No device here has a key.')
    setChosen(devices.length === 1 ? devices[0]!.id : null)
    setThere(devices)
  }
  async function revoke(id: string) {
    setBusy(true)
    const words = refusalWords(await send('RevokeDevice', { device: id }))
    setBusy(false)
    setThere(null)
    setSaid(words ?? 'Revoked. Its key works no more.')
  }

  const names = deviceNames(there ?? [], row, timeZone)
  return (
    <>
      {there === null ? (
        <button type="button" className="button quiet" disabled={busy} onClick={begin}>
          Revoke the device
        </button>
      ) : (
        <section className={css.confirm} aria-label="Revoke the device?">
          {there.length === 1 ? (
            <p>Revoke {names.get(there[0]!.id)}?</p>
          ) : (
            <fieldset>
              <legend>Which one is revoked?</legend>
              {there.map(({ id }) => (
                <label key={id} className={css.choice}>
                  <input type="radio" name={group} checked={chosen === id} onChange={() => setChosen(id)} />{' '}
                  {names.get(id)}
                </label>
              ))}
            </fieldset>
          )}
          <p>It can report no more, and what still waits on it is not sent. Another needs a new code.</p>
          <div className={css.buttons}>
            <button type="button" className="button quiet" onClick={() => setThere(null)}>
              Keep it
            </button>
            <button
              type="button"
              className="button"
              disabled={busy || chosen === null}
              onClick={() => chosen !== null && revoke(chosen)}
            >
              Revoke
            </button>
          </div>
        </section>
      )}
      <p role="status" className={css.soft}>
        {said}
      </p>
    </>
  )
}
