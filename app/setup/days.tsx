'use client'
import type { z } from 'zod'
import { type setupDay, setupDays } from '../../server/protocol/setup.ts'
import { useAsked } from './asking.ts'
import { Backups } from './backups.tsx'
import { Columns } from './columns.tsx'
import { clockOf, dayIs } from './dayWords.ts'
import { PlanUpload } from './planUpload.tsx'
import { Problems } from './problems.tsx'
import css from './setup.module.css'

export type SetupDay = z.output<typeof setupDay>

/** The days of this server, a plan to be checked and kept, and whether all of it is copied. */
export function Days() {
  const days = useAsked('days', setupDays, 5_000)
  return (
    <>
      <section aria-labelledby="days">
        <h1 id="days">Days</h1>
        <Problems problems={days.problems} />
        {days.value === null ? (
          <p role="status">Looking for the days…</p>
        ) : days.value.days.length === 0 ? (
          <p>No day is kept yet. Check your plan below; when nothing is left to mend, keep it.</p>
        ) : (
          <div className={css.wide}>
            <table className={css.table}>
              <Columns names={['day', 'date', 'is', 'clock', '#precincts', '#devices']} />
              <tbody>
                {days.value.days.map(day => (
                  <tr key={day.id}>
                    <th scope="row">
                      <a href={`/setup/${encodeURIComponent(day.id)}`}>
                        {day.county}, {day.name}
                      </a>
                      {day.kind === 'practice' && <span className={css.tag}>practice</span>}
                      <span className={css.id}>{day.id}</span>
                    </th>
                    <td>{day.date}</td>
                    <td>{dayIs[day.is]}</td>
                    <td>{clockOf(day)}</td>
                    <td className={css.number}>{day.precincts.toLocaleString('en-US')}</td>
                    <td className={css.number}>{day.devices.toLocaleString('en-US')}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        )}
      </section>
      <PlanUpload onKept={days.again} />
      <Backups />
    </>
  )
}
