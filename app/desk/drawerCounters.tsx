'use client'
import type { BoardRow, Figure } from '../../server/domain/day/row.ts'
import type { Instant } from '../../server/domain/time.ts'
import { ageWords, clockWords } from '../live/clock.ts'
import { usePlan } from '../live/useBoard.ts'
import { countWords, isStale, paceOf, paceWords } from '../parts/figures.ts'
import css from './drawer.module.css'
import { ballotsWords } from './plannedWords.ts'

/** Every counter of a precinct with the instant it was so and its age. */
export function Counters({ code, row, now }: { code: string; row: BoardRow; now: Instant }) {
  const plan = usePlan()
  const pace = paceOf(row)
  const sheets = plan.precincts.find(p => p.code === code)?.sheets ?? 1
  const down = row.down.map(tag => plan.equipment[code]?.find(e => e.tag === tag)?.label || tag)
  const figures: Array<[string, Figure | null, string?]> = [
    ['Checked in', row.checkedIn, pace === null ? undefined : `${paceWords(pace)} against expected`],
    ['Public count', row.publicCount, row.publicCount ? ballotsWords(row.publicCount.is, sheets) : undefined],
    ['In line', row.inLine],
    ['In slot', row.inSlot, row.slotOpen ? 'slot open' : undefined],
    ['Ballots left', row.ballotsLeft],
    ['Spoiled', row.spoiled],
    ['Provisional', row.provisional],
    ['Curbside', row.curbside],
  ]
  const known = figures.filter(([, figure]) => figure !== null)
  return (
    <section aria-labelledby="counters">
      <h3 id="counters">Counters</h3>
      {down.length > 0 && <p className="tier-now">Down: {down.join(', ')}</p>}
      {known.length === 0 ? (
        <p className={css.soft}>No count has been reported.</p>
      ) : (
        <table className={css.counters}>
          <thead>
            <tr>
              <th scope="col">Counter</th>
              <th scope="col">Figure</th>
              <th scope="col">As of</th>
            </tr>
          </thead>
          <tbody>
            {known.map(([name, figure, more]) => (
              <tr key={name}>
                <th scope="row">
                  {name}
                  {more && <span className={css.soft}> {more}</span>}
                </th>
                <td>{countWords(figure!.is)}</td>
                <td
                  className={
                    isStale(figure!, now, plan.countEveryMinutes) && row.closedAt === null
                      ? css.old
                      : css.soft
                  }
                >
                  {clockWords(figure!.asOf, plan.timeZone)}, {ageWords(now - figure!.asOf)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  )
}
