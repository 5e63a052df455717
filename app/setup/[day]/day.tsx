'use client'
import { setupDays, setupPlan } from '../../../server/protocol/setup.ts'
import { useAsked } from '../asking.ts'
import { clockOf, dayIs } from '../dayWords.ts'
import { Problems } from '../problems.tsx'
import css from '../setup.module.css'
import { Closing } from './closing.tsx'
import { Devices } from './devices.tsx'
import { Opening } from './opening.tsx'
import { Policy } from './policy.tsx'
import { RefusedReports } from './refusedReports.tsx'
import { Trainer } from './trainer.tsx'

/** One day: where it is and what can be done with it, its precincts and devices, what was refused, its policy. */
export function DayPage({ day }: { day: string }) {
  const days = useAsked('days', setupDays, 3_000)
  const plan = useAsked(`days/${encodeURIComponent(day)}/plan`, setupPlan, 15_000)
  const found = days.value?.days.find(d => d.id === day)
  if (days.value === null || plan.value === null)
    return (
      <>
        <h1>A day</h1>
        <Problems problems={[...days.problems, ...plan.problems]} />
        {days.problems.length + plan.problems.length === 0 && <p role="status">Looking for the day…</p>}
      </>
    )
  if (!found)
    return (
      <>
        <h1>A day</h1>
        <p>
          There is no day {day}. <a href="/setup">All days</a>
        </p>
      </>
    )
  const { hours, officePhone, precincts } = plan.value
  const clock = clockOf(found)
  return (
    <>
      <h1>
        {found.county}, {found.name}
        {found.kind === 'practice' && <span className={css.tag}>practice</span>}
      </h1>
      <Problems problems={[...days.problems, ...plan.problems]} />
      <dl className={css.facts}>
        <div>
          <dt>is</dt>
          <dd>
            <span role="status">
              {dayIs[found.is]}
              {clock !== '' && `, ${clock}`}
            </span>
          </dd>
        </div>
        <div>
          <dt>date</dt>
          <dd>
            {found.date}, {found.timeZone}
          </dd>
        </div>
        <div>
          <dt>hours</dt>
          <dd>
            teams report {hours.report}, open {hours.open}, close {hours.close}, returns by {hours.returnBy}
          </dd>
        </div>
        <div>
          <dt>plan</dt>
          <dd>
            {precincts.length.toLocaleString('en-US')} precincts at{' '}
            {plan.value.places.length.toLocaleString('en-US')} places, {plan.value.rovers} rovers,{' '}
            {plan.value.seals.toLocaleString('en-US')} seals; hash <code>{found.planHash.slice(0, 16)}</code>
          </dd>
        </div>
        <div>
          <dt>precincts ring</dt>
          <dd>{officePhone}</dd>
        </div>
      </dl>
      {found.trouble !== null && (
        <p role="alert" className="wrong">
          {found.trouble}
        </p>
      )}
      {found.is === 'running' && (
        <p>
          <a href={`/desk?day=${encodeURIComponent(day)}`}>Look at its desk</a>
        </p>
      )}
      <Opening day={found} onDone={days.again} />
      {found.is === 'running' && found.kind === 'practice' && (
        <Trainer day={found} precincts={precincts} onDone={days.again} />
      )}
      <Devices day={found} plan={plan.value} onDone={plan.again} />
      <RefusedReports day={day} timeZone={found.timeZone} />
      <Policy plan={plan.value} />
      {found.is !== 'closed' && found.is !== 'kept' && <Closing day={found} onDone={days.again} />}
    </>
  )
}
