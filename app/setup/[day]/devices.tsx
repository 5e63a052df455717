'use client'
import { useMemo, useState } from 'react'
import type { z } from 'zod'
import { devicesAnswer } from '../../../server/protocol/answers.ts'
import { commandAnswer } from '../../../server/protocol/command.ts'
import { done, type setupPlan } from '../../../server/protocol/setup.ts'
import { freshId } from '../../live/socket.ts'
import { useAsked } from '../asking.ts'
import { Columns } from '../columns.tsx'
import type { SetupDay } from '../days.tsx'
import { Problems } from '../problems.tsx'
import css from '../setup.module.css'
import { useDoing } from '../useDoing.ts'

type Plan = z.output<typeof setupPlan>
type Device = z.output<typeof devicesAnswer>['devices'][number]

/** Precincts with what they have and which devices speak for them; codes for more; a lost device is revoked. */
export function Devices({ day, plan, onDone }: { day: SetupDay; plan: Plan; onDone(): Promise<void> }) {
  const asked = useAsked(`/days/${encodeURIComponent(day.id)}/devices`, devicesAnswer, 15_000)
  const [search, setSearch] = useState('')
  const byPrecinct = useMemo(() => {
    const by = new Map<string, Device[]>()
    for (const device of asked.value?.devices ?? [])
      by.set(device.precinct, [...(by.get(device.precinct) ?? []), device])
    return by
  }, [asked.value])
  const places = useMemo(() => new Map(plan.places.map(p => [p.code, p])), [plan])
  const words = search.trim().toLowerCase()
  const shown = plan.precincts.filter(
    p =>
      words === '' ||
      [p.code, p.name, places.get(p.place)?.name ?? ''].some(text => text.toLowerCase().includes(words)),
  )
  const without = plan.precincts.filter(p => p.devices === 0).length
  const again = async () => {
    await Promise.all([asked.again(), onDone()])
  }
  return (
    <section aria-labelledby="devices">
      <h2 id="devices">Precincts and devices</h2>
      <p>
        {without === 0
          ? 'Every precinct has a device.'
          : `${without.toLocaleString('en-US')} of ${plan.precincts.length.toLocaleString('en-US')} precincts have no device yet; what they say can be written in by telephone.`}
      </p>
      {day.is !== 'closed' && (
        <p>
          <a className="button" href={`/setup/${encodeURIComponent(day.id)}/codes`}>
            Make a sheet of enrolment codes
          </a>
        </p>
      )}
      <Problems problems={asked.problems} />
      <details>
        <summary>{plan.precincts.length.toLocaleString('en-US')} precincts</summary>
        <p>
          <label>
            Find <input type="search" value={search} onChange={event => setSearch(event.target.value)} />
          </label>{' '}
          <span role="status">
            {words === '' ? '' : `${shown.length} found`}
            {shown.length > SHOWN ? `; the first ${SHOWN} are shown: search for others` : ''}
          </span>
        </p>
        <div className={css.wide}>
          <table className={css.table}>
            <Columns names={['precinct', 'place', 'equipment', 'devices']} />
            <tbody>
              {shown.slice(0, SHOWN).map(precinct => (
                <tr key={precinct.code}>
                  <th scope="row">
                    {precinct.name}
                    <span className={css.id}>{precinct.code}</span>
                  </th>
                  <td>{places.get(precinct.place)?.name ?? precinct.place}</td>
                  <td>{precinct.equipment.map(e => `${e.label || e.kind} ${e.tag}`).join(', ')}</td>
                  <td>
                    {(byPrecinct.get(precinct.code) ?? []).map(device => (
                      <DeviceLine key={device.id} day={day} device={device} onDone={again} />
                    ))}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      </details>
    </section>
  )
}

/** More rows than this in one table are slow to draw and of no help. */
const SHOWN = 300

function DeviceLine({ day, device, onDone }: { day: SetupDay; device: Device; onDone(): Promise<void> }) {
  const { busy, problems, run } = useDoing()
  const [sure, setSure] = useState(false)
  const [refused, setRefused] = useState('')
  const name = device.label || device.id
  async function revoke() {
    const id = encodeURIComponent(day.id)
    if (day.is === 'running') {
      const body = { id: freshId(), kind: 'RevokeDevice', body: { device: device.id } }
      const answer = await run(`/days/${id}/commands`, commandAnswer, body)
      setRefused(answer.ok && !answer.value.ok ? answer.value.refusal.message : '')
    } else await run(`days/${id}/revoke`, done, { device: device.id })
    setSure(false)
    await onDone()
  }
  const { revokedAt, replacedAt } = device
  if (revokedAt !== null)
    return (
      <span className={css.item}>
        {name} <span className="soft">revoked</span>
      </span>
    )
  return (
    <div className={css.item}>
      {name} {replacedAt !== null && <span className="soft">replaced: what it says is kept aside </span>}
      {!sure && day.is !== 'closed' && (
        <button type="button" className="button quiet" onClick={() => setSure(true)}>
          Revoke {name}
        </button>
      )}
      {sure && (
        <span>
          It can report no more; what waits on it is not sent.{' '}
          <button type="button" className="button" disabled={busy} onClick={() => void revoke()}>
            Revoke
          </button>{' '}
          <button type="button" className="button quiet" onClick={() => setSure(false)}>
            Keep it
          </button>
        </span>
      )}
      {refused !== '' && <span role="alert">{refused}</span>}
      <Problems problems={problems} />
    </div>
  )
}
