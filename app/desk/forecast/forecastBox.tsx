'use client'
import { useMemo } from 'react'
import type { BoardRow } from '../../../server/domain/day/row.ts'
import { precinctOutlook } from '../../../server/domain/forecast/day.ts'
import type { PrecinctInput } from '../../../server/domain/forecast/input.ts'
import type { Instant } from '../../../server/domain/time.ts'
import type { PlanBrief } from '../../../server/protocol/board.ts'
import { clockWords } from '../../live/clock.ts'
import { useBoard, usePlan } from '../../live/useBoard.ts'
import { useDesk } from '../deskContext.ts'
import css from './forecast.module.css'
import { inputsOfForecast } from './forecastInputs.ts'
import { type ForecastContext, forecastWords } from './forecastWords.ts'
import { LineBox } from './lineBox.tsx'
import { Saying } from './saying.tsx'
import { useForecastInputs } from './useForecastInputs.ts'

/** What is coming at a precinct, why, and from what: reckoned here by the function that the server uses. */
export function ForecastBox({ code, row, now }: { code: string; row: BoardRow; now: Instant }) {
  const plan = usePlan()
  const { day } = useDesk()
  const { inputs, problem, none } = useForecastInputs(day, code)
  const view = useBoard(s => s.still)
  const outlook = useMemo(
    () => inputs && precinctOutlook(inputs.day, inputs.county, inputs.input, inputs.together),
    [inputs],
  )
  const noLine = inputs ? noLineWords(inputs.input, plan) : ''
  if (row.closedAt !== null) return null
  if (view === 'happened') return null
  return (
    <section aria-labelledby="forecast" className={css.forecast}>
      <h3 id="forecast">What is coming</h3>
      {!inputs || !outlook ? (
        <p className={css.soft}>{problem ?? (none ? NONE_YET : 'Loading the forecast…')}</p>
      ) : (
        <Known
          ctx={{
            day: inputs.day,
            county: inputs.county,
            input: inputs.input,
            forecast: outlook.forecast,
            timeZone: plan.timeZone,
            stepTitle: step => plan.steps.find(s => s.code === step)?.title ?? step,
          }}
          now={now}
        >
          {row.tape === 'rejected' && row.openedAt === null && <p className={css.soft}>{TAPE_REJECTED}</p>}
          {outlook.forecast.line ? (
            <LineBox inputs={inputs} line={outlook.forecast.line} points={outlook.linePoints} />
          ) : (
            noLine !== '' && <p className={css.soft}>{noLine}</p>
          )}
          {problem && (
            <p className={css.soft}>
              Not newer than {clockWords(inputs.day.at, plan.timeZone)}: {problem}
            </p>
          )}
        </Known>
      )}
    </section>
  )
}

const NONE_YET = 'No forecast yet: the first comes shortly before the teams are due.'
const TAPE_REJECTED =
  'An opening tape stands rejected: when it will be ready can’t be forecast. The polls open all the same, as your county’s policy says.'

/** Why no line is forecast here; empty where nobody is expected to stand in one. */
function noLineWords({ code, lineOf, silent }: PrecinctInput, plan: PlanBrief): string {
  if (lineOf !== null && lineOf !== code) {
    const name = plan.precincts.find(p => p.code === lineOf)?.name ?? lineOf
    return `Its voters stand in one line with those of ${name}, where the line is forecast.`
  }
  return silent ? 'It is silent: how things stand there isn’t known, so no line is forecast.' : ''
}

function Known({ ctx, now, children }: { ctx: ForecastContext; now: Instant; children: React.ReactNode }) {
  return (
    <>
      {forecastWords(ctx).map(said => (
        <Saying key={said.title} said={said} />
      ))}
      {children}
      <details className={css.inputs}>
        <summary>What it is made from</summary>
        <dl>
          {inputsOfForecast(ctx, now).map(([name, value]) => (
            <div key={`${name} ${value}`}>
              <dt>{name}</dt>
              <dd>{value}</dd>
            </div>
          ))}
        </dl>
        <p className={css.soft}>
          A forecast from what people reported, with the plan’s figures where nothing was reported. It counts
          no votes and knows none.
        </p>
      </details>
    </>
  )
}
