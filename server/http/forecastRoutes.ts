import type { ForecastBase } from '../domain/day/state.ts'
import type { CountyForecast, Forecasts } from '../domain/forecast/forecast.ts'
import { gatherDay, gatherPrecinct } from '../domain/forecast/gather.ts'
import { type BoardForecasts, countyOnBoard, onBoard } from '../domain/forecast/onBoard.ts'
import type { PlanIndex } from '../domain/plan/brief.ts'
import type { Forecaster } from '../live/forecasting/forecaster.ts'
import type { Replay } from '../live/replay.ts'
import type { ForecastInputs } from '../protocol/board.ts'
import { forecastQuery } from '../protocol/forecast.ts'
import { pageRoles } from '../protocol/roles.ts'
import { type Answer, refuse } from './answer.ts'
import { answerOf } from './reviewRoutes.ts'
import type { Asked, Route } from './routes.ts'

/** What is forecast of a day, now or as it stood at an entry of the log; and what a precinct's forecast is made from. */
export function forecastRoutes(deps: {
  reach(
    day: string,
  ): Promise<{ index: PlanIndex; forecasts(): { made: Forecasts; base: ForecastBase } | null } | null>
  baseAt: Replay['baseAt']
  forecaster: Forecaster
}): Route[] {
  /** The last few that were asked for of the past, since a page asks for the day's and then for its precincts'. */
  const kept = new Map<string, Forecasts>()
  const underWay = new Map<string, Promise<Forecasts>>()
  let turn: Promise<unknown> = Promise.resolve()

  /** One of the past at a time, so that a running day's own never wait for more than one; null: too many wait. */
  function madeFrom(
    day: string,
    base: ForecastBase,
    index: PlanIndex,
  ): Promise<Forecasts> | Forecasts | null {
    const key = `${day} ${base.position}`
    const known = kept.get(key) ?? underWay.get(key)
    if (known) return known
    if (underWay.size >= WAITING) return null
    const made = turn.then(() => deps.forecaster.make(base, index))
    underWay.set(key, made)
    turn = made
      .then(forecasts => {
        kept.set(key, forecasts)
        for (const oldest of [...kept.keys()].slice(0, -KEPT)) kept.delete(oldest)
      })
      .catch(() => {})
      .finally(() => underWay.delete(key))
    return made
  }

  async function found(
    asked: Asked,
    use: (made: Forecasts, base: ForecastBase, index: PlanIndex) => Answer,
  ): Promise<Answer> {
    // Said twice, it is no question: the first and the last of them may differ.
    const twice = asked.query.getAll('position').length > 1
    const asks = forecastQuery.safeParse(Object.fromEntries(asked.query))
    if (twice || !asks.success)
      return refuse(400, 'position is all that may be asked: a whole number from 1, once', {
        path: 'position',
      })
    const day = asked.params.day ?? ''
    if (asks.data.position !== undefined) {
      const then = await deps.baseAt(day, asks.data.position)
      if (!then.ok) return answerOf(then)
      const { base, index } = then.value
      if (!base) return none()
      const made = madeFrom(day, base, index)
      if (!made)
        return refuse(503, 'Too many are asking for forecasts of the past: ask again in a moment.', BUSY)
      return use(await made, base, index)
    }
    const live = await deps.reach(day)
    if (!live) return refuse(404, 'This day neither runs nor is it closed.', { path: 'day' })
    const latest = live.forecasts()
    return latest ? use(latest.made, latest.base, live.index) : none()
  }

  return [
    {
      method: 'GET',
      pattern: '/api/v1/days/:day/forecasts',
      who: pageRoles['/desk'],
      handle: asked => found(asked, made => ({ status: 200, json: boardOf(made) })),
    },
    {
      method: 'GET',
      pattern: '/api/v1/days/:day/precincts/:code/forecast',
      who: pageRoles['/desk'],
      handle: asked =>
        found(asked, ({ county }, base, index) => {
          const inputs = inputsOf(asked.params.code ?? '', county, base, index)
          return inputs
            ? { status: 200, json: inputs }
            : refuse(404, 'There is no such precinct in this day’s plan.', { path: 'code' })
        }),
    },
  ]
}

const KEPT = 8
const WAITING = 4
const BUSY = { path: '', retryAfter: 2_000 }

function none(): Answer {
  return refuse(404, 'No forecast is made yet: the first comes shortly before the teams are due.', {
    path: '',
  })
}

function boardOf({ at, position, county, precincts }: Forecasts): BoardForecasts {
  return { at, position, county: countyOnBoard(county), precincts: [...precincts.values()].map(onBoard) }
}

function inputsOf(
  code: string,
  county: CountyForecast,
  base: ForecastBase,
  index: PlanIndex,
): ForecastInputs | null {
  const planned = index.precincts.get(code)
  if (!planned) return null
  const gather = (of: string) => {
    const p = base.precincts.get(of)
    const plan = index.precincts.get(of)
    return p && plan ? [gatherPrecinct(p, plan, index, base.at)] : []
  }
  const [input] = gather(code)
  if (!input) return null
  const together = planned.sharesLine ? planned.sharesLine.flatMap(gather) : [input]
  return { position: base.position, day: gatherDay(index, base.at), county, input, together }
}
