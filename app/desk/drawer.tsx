'use client'
import { useEffect, useRef } from 'react'
import { reasonWords } from '../../server/domain/calls/words.ts'
import { countyCurve } from '../../server/domain/day/county.ts'
import { fanOf } from '../../server/domain/forecast/fan.ts'
import { MINUTE } from '../../server/domain/time.ts'
import { ageWords, clockWords, lengthWords } from '../live/clock.ts'
import { useDayNow, usePlan, useRow } from '../live/useBoard.ts'
import { useStripForecast } from '../live/useForecast.ts'
import { Glyph, signOf, signWords } from '../parts/glyph.tsx'
import { Strip } from '../parts/strip.tsx'
import { frameOf } from '../parts/stripGeometry.ts'
import { stripWords } from '../parts/stripWords.ts'
import { TurnoutChart } from '../parts/turnoutChart.tsx'
import { useWidth } from '../parts/useWidth.ts'
import { useDesk } from './deskContext.ts'
import { KeptAside } from './devices/keptAside.tsx'
import css from './drawer.module.css'
import { Contacts } from './drawerContacts.tsx'
import { Counters } from './drawerCounters.tsx'
import { Custody } from './drawerCustody.tsx'
import { DeviceBox } from './drawerDevice.tsx'
import { Entries } from './drawerEntries.tsx'
import { ErrandsHere } from './errands/errandsHere.tsx'
import { ForecastBox } from './forecast/forecastBox.tsx'
import { NoteForm } from './noteForm.tsx'
import { plannedWords } from './plannedWords.ts'
import { useDetail } from './useDetail.ts'

/** Everything known of one precinct, each figure with its age. */
export function Drawer({ code }: { code: string }) {
  const plan = usePlan()
  const row = useRow(code)
  const now = useDayNow(MINUTE)
  const forecast = useStripForecast(code)
  const { day, mayAct, close, open } = useDesk()
  const heading = useRef<HTMLHeadingElement>(null)
  const [measure, width] = useWidth<HTMLDivElement>(380)
  const asked = useDetail(day, code, row?.touchedAt ?? 0)
  // biome-ignore lint/correctness/useExhaustiveDependencies: another precinct is another heading
  useEffect(() => {
    // Unless a form that was opened with the drawer has it already.
    if (!heading.current?.closest('aside')?.contains(document.activeElement))
      heading.current?.focus({ preventScroll: true })
  }, [code])
  const precinct = plan.precincts.find(p => p.code === code)
  if (!row || !precinct) return <p className={css.soft}>This precinct is not in the plan.</p>
  const time = (at: number) => clockWords(at, plan.timeZone)
  const turnout = forecast?.turnout
  const fan =
    turnout && row.closedAt === null
      ? {
          points: fanOf(
            forecast.profile,
            plan.midnight,
            turnout.came ?? { at: plan.opensAt, is: 0 },
            plan.closesAt,
            turnout,
          ),
          interval: turnout,
        }
      : null
  const sign = signOf(
    row,
    (plan.tabulators[code] ?? []).map(t => t.tag),
  )
  return (
    <div className={css.drawer}>
      <header className={css.top}>
        <div>
          <h2 ref={heading} tabIndex={-1}>
            {precinct.name}
          </h2>
          <p className={css.sign}>
            <Glyph sign={sign} /> {signWords(sign)}
            <span className={css.soft}>
              {row.heardAt === null
                ? ' · never heard'
                : ` · heard ${ageWords(now - row.heardAt)}, ${time(row.heardAt)}`}
            </span>
          </p>
        </div>
        <div className={css.buttons}>
          {mayAct && (
            <button type="button" className="button" onClick={() => open(code, 'caller')}>
              Write in a call
            </button>
          )}
          <button type="button" className="button quiet" onClick={close}>
            Close
          </button>
        </div>
      </header>

      {row.reasons.length > 0 && (
        <section aria-labelledby="reasons">
          <h3 id="reasons">Why it needs a call</h3>
          <ul className={css.reasons}>
            {row.reasons.map(reason => {
              const words = reasonWords(reason, plan, now)
              return (
                <li key={reason.key}>
                  <p>
                    <strong className={`tier-${reason.tier}`}>
                      {words.headline} <span className={css.tier}>{reason.tier}</span>
                    </strong>{' '}
                    <span className={css.soft}>
                      since {time(reason.since)}, {lengthWords(now - reason.since)}
                    </span>
                  </p>
                  <p>{words.fact}</p>
                  {words.risk && <p className={css.soft}>{words.risk}</p>}
                  <p className={css.soft}>Ask: {words.ask}</p>
                  <p className={css.soft}>{words.ends}</p>
                </li>
              )
            })}
          </ul>
        </section>
      )}

      <section aria-labelledby="its-day">
        <h3 id="its-day">Its day</h3>
        <div ref={measure}>
          <Strip
            row={row}
            expected={precinct.expected}
            profile={plan.profile}
            frame={frameOf(plan, width, 56)}
            now={now}
            forecast={forecast}
            label={stripWords(row, plan, forecast)}
          />
        </div>
        <dl className={css.facts}>
          <div>
            <dt>Opening</dt>
            <dd>
              {row.openedAt !== null
                ? `opened ${time(row.openedAt)}`
                : `${row.opening.done} of ${row.opening.of} steps${row.opening.next ? `, next: ${stepTitle(row.opening.next)}` : ''}`}
            </dd>
          </div>
          <div>
            <dt>Team</dt>
            <dd>
              {row.team === null
                ? `not reported, ${precinct.workers} expected`
                : `${row.team.present} of ${precinct.workers}${row.team.missing > 0 ? `, ${row.team.missing} missing` : ''}, as of ${time(row.team.asOf)}`}
            </dd>
          </div>
          <div>
            <dt>Opening tape</dt>
            <dd>{row.tape === 'none' ? 'not reported' : row.tape}</dd>
          </div>
          {row.closedAt !== null && (
            <div>
              <dt>Closing</dt>
              <dd>
                closed {time(row.closedAt)}, {row.closing.done} of {row.closing.of} steps
                {row.departedAt !== null && `, return left ${time(row.departedAt)}`}
                {row.receivedAt !== null && `, received ${time(row.receivedAt)}`}
              </dd>
            </div>
          )}
          <div>
            <dt>Planned</dt>
            <dd>{plannedWords(code, plan)}</dd>
          </div>
        </dl>
      </section>

      <ForecastBox key={code} code={code} row={row} now={now} />

      <Counters code={code} row={row} now={now} />

      <section aria-labelledby="its-turnout">
        <h3 id="its-turnout">Turnout</h3>
        <TurnoutChart
          points={countyCurve([row], { ...plan, precincts: [precinct] })}
          counted={row.checkedIn && { checkedIn: row.checkedIn.is, expectedThen: row.expectedThen ?? 0 }}
          fan={fan}
          opensAt={plan.opensAt}
          closesAt={plan.closesAt}
          timeZone={plan.timeZone}
          title={`Turnout of ${precinct.name}`}
          height={130}
        />
      </section>

      <ErrandsHere code={code} />
      <Contacts asked={asked} />
      {mayAct && <Custody code={code} touchedAt={row.touchedAt} />}
      <DeviceBox code={code} row={row} now={now} />
      {mayAct && <KeptAside key={`aside ${code}`} code={code} />}
      {mayAct && <NoteForm code={code} />}
      <Entries asked={asked} />
    </div>
  )

  function stepTitle(step: string): string {
    return plan.steps.find(s => s.code === step)?.title ?? step
  }
}
