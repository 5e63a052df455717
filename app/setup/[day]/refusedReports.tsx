'use client'
import type { z } from 'zod'
import { hhmmOf } from '../../../server/domain/plan/zone.ts'
import { fromRfc3339 } from '../../../server/domain/time.ts'
import { refusedReports } from '../../../server/protocol/setup.ts'
import { useAsked } from '../asking.ts'
import { Columns } from '../columns.tsx'
import { Problems } from '../problems.tsx'
import css from '../setup.module.css'

type Report = z.output<typeof refusedReports>['refused'][number]

/** What devices sent and the log did not take: nothing that was said is lost. */
export function RefusedReports({ day, timeZone }: { day: string; timeZone: string }) {
  const asked = useAsked(`days/${encodeURIComponent(day)}/refused`, refusedReports, 15_000)
  const list = asked.value?.refused ?? []
  return (
    <section aria-labelledby="refused">
      <h2 id="refused">Refused reports</h2>
      <Problems problems={asked.problems} />
      {asked.value !== null && list.length === 0 && <p>None: every report that came was fit to be logged.</p>}
      {list.length > 0 && (
        <details>
          <summary>
            {list.length === 200 ? 'the latest 200' : list.length}, last at{' '}
            {hhmmOf(fromRfc3339(list[0]!.receivedAt), timeZone)}
          </summary>
          <div className={css.wide}>
            <table className={css.table}>
              <Columns names={['time', 'precinct', 'device', 'report', 'why', 'as it was sent']} />
              <tbody>
                {list.map(report => (
                  <tr key={`${report.device} ${report.number} ${report.receivedAt} ${report.sent}`}>
                    <td>{hhmmOf(fromRfc3339(report.receivedAt), timeZone)}</td>
                    <th scope="row">{report.precinct ?? ''}</th>
                    <td>{report.label ?? report.device}</td>
                    <td>
                      {report.kind ?? ''} number {report.number}
                    </td>
                    <td>
                      {report.problems
                        .map(p => `${p.path === '' ? '' : `${p.path}: `}${p.message}`)
                        .join('; ')}
                      {report.aside && ` ${answerWords(report.answer, timeZone)}`}
                    </td>
                    <td>
                      <code>{report.sent}</code>
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        </details>
      )}
    </section>
  )
}

function answerWords(answer: Report['answer'], timeZone: string): string {
  if (answer === null) return 'Kept aside for the desk, which has not answered yet.'
  const by = answer.by === null ? '' : ` by ${answer.by}`
  return `${answer.is === 'accepted' ? 'Accepted' : 'Left out'}${by} at ${hhmmOf(fromRfc3339(answer.at), timeZone)}.`
}
