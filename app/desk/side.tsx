'use client'
import { countyCurve, countyOf } from '../../server/domain/day/county.ts'
import { MINUTE } from '../../server/domain/time.ts'
import { useDayNow, useLink, usePlan } from '../live/useBoard.ts'
import { TurnoutChart } from '../parts/turnoutChart.tsx'
import css from './side.module.css'

/** Beside the strips while no precinct is open: the county's curve and its rovers. */
export function Side() {
  const plan = usePlan()
  const { store } = useLink()
  // Drawn again once a minute of day time: a curve of quarter hours says nothing new more often.
  useDayNow(MINUTE)
  const rows = [...store.get().rows.values()]
  const totals = countyOf(rows, plan)
  // A depot is no polling place: the board knows it by its code alone.
  const placeName = (code: string) =>
    plan.precincts.find(p => p.place === code)?.placeName ?? code.replaceAll('-', ' ')
  return (
    <div className={css.side}>
      <section aria-labelledby="county-turnout">
        <h2 id="county-turnout">County turnout</h2>
        <TurnoutChart
          points={countyCurve(rows, plan)}
          counted={totals.counted > 0 ? totals : null}
          opensAt={plan.opensAt}
          closesAt={plan.closesAt}
          timeZone={plan.timeZone}
          title="County turnout"
        />
      </section>
      <section aria-labelledby="rovers">
        <div className={css.top}>
          <h2 id="rovers">Rovers</h2>
          <span>{plan.rovers.length} in the plan</span>
        </div>
        {plan.rovers.length === 0 ? (
          <p className={css.none}>The plan names no rovers.</p>
        ) : (
          <ul className={css.rovers}>
            {plan.rovers.map(rover => (
              <li key={rover.code}>
                <svg width="12" height="12" viewBox="0 0 12 12" aria-hidden="true">
                  <path d="M6 1l5 5l-5 5l-5 -5z" fill="none" stroke="currentColor" strokeWidth="1.4" />
                </svg>
                <div>
                  <p className={css.rover}>
                    {rover.name} <a href={`tel:${rover.phone}`}>{rover.phone}</a>
                  </p>
                  <p className={css.none}>
                    from {placeName(rover.base)}
                    {rover.skills.length > 0 && ` · ${rover.skills.join(', ')}`}
                  </p>
                </div>
              </li>
            ))}
          </ul>
        )}
      </section>
    </div>
  )
}
