'use client'
import { countyOf } from '../../server/domain/day/county.ts'
import { MINUTE } from '../../server/domain/time.ts'
import { useBoard, useDayNow, usePlan } from '../live/useBoard.ts'
import { DayArc } from '../parts/dayArc.tsx'
import { countWords, signed } from '../parts/figures.ts'
import css from './head.module.css'

export function Head() {
  const plan = usePlan()
  return (
    <header className={css.head}>
      <div>
        <h1 className={css.county}>{plan.county}</h1>
        <p className={css.day}>
          {plan.kind === 'practice' && <strong className={css.practice}>Practice day</strong>}
          {plan.name}
        </p>
      </div>
      <Arc />
      <Totals />
    </header>
  )
}

function Arc() {
  const plan = usePlan()
  const now = useDayNow(MINUTE)
  return (
    <DayArc
      opensAt={plan.opensAt}
      closesAt={plan.closesAt}
      midnight={plan.midnight}
      timeZone={plan.timeZone}
      now={now}
    />
  )
}

function Totals() {
  const plan = usePlan()
  const rows = useBoard(s => s.rows)
  const totals = countyOf(rows.values(), plan)
  const { byStanding: by } = totals
  const done = by.closing + by.closed + by.returning + by.received
  const points = ((totals.checkedIn - totals.expectedThen) / Math.max(1, totals.expected)) * 100
  const second: [number, string] =
    done > 0 ? [done, 'closing or closed'] : [by['setting-up'] + by.ready, 'setting up']
  return (
    <dl className={css.totals}>
      <div>
        <dt>open of {countWords(totals.precincts)}</dt>
        <dd>{countWords(totals.open)}</dd>
      </div>
      <div>
        <dt>{second[1]}</dt>
        <dd>{countWords(second[0])}</dd>
      </div>
      <div>
        <dt>of expected{totals.counted === 0 ? '' : `, ${signed(points, 1)} points`}</dt>
        <dd>{totals.counted === 0 ? '—' : `${(totals.share * 100).toFixed(1)}%`}</dd>
      </div>
    </dl>
  )
}
