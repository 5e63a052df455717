'use client'
import type { BoardRow } from '../../server/domain/day/row.ts'
import type { Instant } from '../../server/domain/time.ts'
import { ageWords, lengthWords } from '../live/clock.ts'
import { useDesk } from './deskContext.ts'
import { IssueCode } from './devices/issueCode.tsx'
import { RevokeDevice } from './devices/revokeDevice.tsx'
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
  const { mayAct } = useDesk()
  const { device } = row
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
      {mayAct && <RevokeDevice key={`revoke ${code}`} code={code} row={row} />}
      {mayAct && <IssueCode key={code} code={code} row={row} now={now} />}
    </section>
  )
}
