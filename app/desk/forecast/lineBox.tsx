'use client'
import { useId, useMemo, useState } from 'react'
import { precinctOutlook } from '../../../server/domain/forecast/day.ts'
import type { LineForecast, LineForecastPoint, WhatIf } from '../../../server/domain/forecast/forecast.ts'
import { type Instant, MINUTE } from '../../../server/domain/time.ts'
import type { ForecastInputs } from '../../../server/protocol/board.ts'
import { clockWords, instantOfField } from '../../live/clock.ts'
import { usePlan } from '../../live/useBoard.ts'
import css from './forecast.module.css'
import { LineChart } from './lineChart.tsx'
import { lineForecastWords, whatIfWords } from './lineWords.ts'
import { Saying } from './saying.tsx'

type Choice = 'as-it-is' | 'one-more' | 'one-fewer' | 'tabulator'

/** The line's next two hours, and what a change would do. */
export function LineBox({
  inputs,
  line,
  points,
}: {
  inputs: ForecastInputs
  line: LineForecast
  points: readonly LineForecastPoint[]
}) {
  const plan = usePlan()
  const [choice, setChoice] = useState<Choice>('as-it-is')
  const [backAt, setBackAt] = useState('')
  const name = useId()
  const { day, county, input, together } = inputs
  const stations = together.reduce((sum, p) => sum + p.stations.working, 0)
  const down = together.some(p => p.tabulators.working < p.tabulators.all)
  const back =
    backAt === '' ? day.at + USUALLY_BACK : instantOfField(backAt, plan.date, plan.timeZone, day.at)
  const past = back !== null && back < day.at
  const whatIf = useMemo(() => changeOf(choice, past ? null : back), [choice, past, back])
  const then = useMemo(
    () => whatIf && precinctOutlook(day, county, input, together, whatIf),
    [whatIf, day, county, input, together],
  )
  const shown = then?.forecast.line ?? null
  const untouched = choice === 'tabulator' && together.every(p => p.unscanned)
  const time = (at: Instant) => clockWords(at, plan.timeZone)
  const options: Array<[Choice, string, boolean]> = [
    ['as-it-is', 'as it is', true],
    ['one-more', 'one station more', true],
    ['one-fewer', 'one station fewer', stations > 0],
    ['tabulator', 'tabulator back at', down],
  ]
  return (
    <>
      <Saying said={lineForecastWords(line, day, plan.timeZone)} />
      <LineChart
        points={points}
        then={then?.linePoints ?? null}
        inLine={line.inLine}
        from={day.at}
        timeZone={plan.timeZone}
      />
      <fieldset className={css.whatIf}>
        <legend>What if</legend>
        {options
          .filter(([, , there]) => there)
          .map(([value, label]) => (
            <label key={value}>
              <input type="radio" name={name} checked={choice === value} onChange={() => setChoice(value)} />{' '}
              {label}
              {value === 'tabulator' && (
                <>
                  {' '}
                  <input
                    type="text"
                    inputMode="numeric"
                    className={css.time}
                    aria-label="Tabulator back at, county time"
                    aria-invalid={back === null || past}
                    placeholder={time(day.at + USUALLY_BACK)}
                    value={backAt}
                    onFocus={() => setChoice('tabulator')}
                    onChange={event => setBackAt(event.target.value)}
                  />
                </>
              )}
            </label>
          ))}
        <p role="status">
          {choice === 'tabulator' && problemOf(back, past)}
          {shown && choice === 'tabulator' && (untouched ? UNTOUCHED : `Back at ${time(back!)}: `)}
          {shown && !untouched && whatIfWords(line, shown, day)}
        </p>
      </fieldset>
    </>
  )
}

/** Where nothing is typed: about as long as a rover takes to mend one (an assumption). */
const USUALLY_BACK = 30 * MINUTE
const UNTOUCHED = 'It changes nothing for the line: meanwhile the ballots go elsewhere.'

function problemOf(back: Instant | null, past: boolean): string {
  if (back === null) return 'A time of the county’s clock as HH:MM, such as 14:30.'
  return past ? 'That time has passed: say one that is still to come.' : ''
}

function changeOf(choice: Choice, backAt: Instant | null): WhatIf | null {
  if (choice === 'one-more') return { stations: 1 }
  if (choice === 'one-fewer') return { stations: -1 }
  return choice === 'tabulator' && backAt !== null ? { tabulatorBackAt: backAt } : null
}
