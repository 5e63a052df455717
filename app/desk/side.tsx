'use client'
import { countyCurve, countyOf } from '../../server/domain/day/county.ts'
import { fanOf } from '../../server/domain/forecast/fan.ts'
import { MINUTE } from '../../server/domain/time.ts'
import type { PlanBrief } from '../../server/protocol/board.ts'
import type { Outlook } from '../live/boardStore.ts'
import { useBoard, useDayNow, useLink, usePlan } from '../live/useBoard.ts'
import { type Fan, TurnoutChart } from '../parts/turnoutChart.tsx'
import { useDesk } from './deskContext.ts'
import { Rovers } from './errands/rovers.tsx'
import { Notices } from './notices/notices.tsx'
import css from './side.module.css'

/** Beside the strips while no precinct is open: the county's curve and its rovers. */
export function Side() {
  const plan = usePlan()
  const { store } = useLink()
  const { mayAct } = useDesk()
  // Drawn again once a minute of day time: a curve of quarter hours says nothing new more often.
  useDayNow(MINUTE)
  // Two pictures of the record may be of one minute.
  useBoard(s => (s.still ? s.rows : null))
  const forecasts = useBoard(s => s.forecasts)
  const rows = [...store.get().rows.values()]
  const totals = countyOf(rows, plan)
  return (
    <div className={css.side}>
      <section aria-labelledby="county-turnout">
        <h2 id="county-turnout">County turnout</h2>
        <TurnoutChart
          points={countyCurve(rows, plan)}
          counted={totals.counted > 0 ? totals : null}
          fan={forecasts && countyFan(forecasts, plan)}
          opensAt={plan.opensAt}
          closesAt={plan.closesAt}
          timeZone={plan.timeZone}
          title="County turnout"
        />
      </section>
      {mayAct && <Notices />}
      <Rovers />
    </div>
  )
}

/** The county's forecast, from how many will have come by now. */
function countyFan({ at, county }: Outlook, plan: PlanBrief): Fan {
  const from = { at: Math.max(at, plan.opensAt), is: county.cameNow }
  return { points: fanOf(county.profile, plan.midnight, from, plan.closesAt, county), interval: county }
}
