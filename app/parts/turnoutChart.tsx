'use client'
import { Area, ComposedChart, Line } from 'recharts'
import type { CurvePoint } from '../../server/domain/day/county.ts'
import type { FanPoint } from '../../server/domain/forecast/fan.ts'
import type { Interval } from '../../server/domain/forecast/forecast.ts'
import { HOUR, type Instant } from '../../server/domain/time.ts'
import { clockWords } from '../live/clock.ts'
import css from './chart.module.css'
import { clockAxis, gridLines, peopleAxis } from './chartAxes.tsx'
import { countWords, signed } from './figures.ts'
import { useWidth } from './useWidth.ts'

type Props = {
  points: CurvePoint[]
  counted: Counted
  /** What is forecast from the latest count on; null: nothing. */
  fan: Fan | null
  opensAt: Instant
  closesAt: Instant
  timeZone: string
  title: string
  height?: number
}

export type Fan = { points: readonly FanPoint[]; interval: Interval }

/** The latest counts together, and what was expected at each count's own instant; null: nobody has counted. */
export type Counted = { checkedIn: number; expectedThen: number } | null

/**
 * What the curve says, in a sentence. Like is compared with like: the last stretch of a county's curve lags,
 * since its precincts counted at different times.
 */
export function curveWords(counted: Counted, wholeDay: number, interval: Interval | null): string {
  const planned = `${countWords(wholeDay)} expected by closing.`
  const whole = interval
    ? `${planned} Forecast: ${countWords(interval.total)}, between ${countWords(interval.low80)} and ${countWords(interval.high80)} on 80 of 100 such days.`
    : planned
  if (counted === null) return `No count yet. ${whole}`
  const { checkedIn, expectedThen } = counted
  const gap = expectedThen > 0 ? ` (${signed((checkedIn / expectedThen - 1) * 100)}%)` : ''
  return `${countWords(checkedIn)} checked in; ${countWords(expectedThen)} were expected when they were counted${gap}. ${whole}`
}

/** Voters checked in so far (line) before the voters expected so far (pale), with the same as words and table. */
export function TurnoutChart({
  points,
  counted,
  fan,
  opensAt,
  closesAt,
  timeZone,
  title,
  height = 150,
}: Props) {
  const [ref, width] = useWidth<HTMLElement>(240)
  const ticks: Instant[] = []
  for (let at = opensAt + 0.5 * HOUR; at < closesAt; at += 4 * HOUR) ticks.push(Math.round(at / HOUR) * HOUR)
  const words = curveWords(counted, points.at(-1)?.expected ?? 0, fan?.interval ?? null)
  const fanAt = new Map(fan?.points.map(p => [p.at, p]))
  const hourly = points.filter(p => p.at % HOUR === 0 || p === points.at(-1))
  return (
    <figure ref={ref} className={css.chart} aria-label={title}>
      <div aria-hidden="true">
        <ComposedChart
          data={withFan(
            [
              { at: opensAt, checkedIn: points.some(p => p.checkedIn !== null) ? 0 : null, expected: 0 },
              ...points,
            ],
            fan,
          )}
          width={width}
          height={height}
          margin={{ top: 6, right: 14, bottom: 0, left: 0 }}
          accessibilityLayer={false}
        >
          {gridLines}
          {clockAxis([opensAt, Math.max(closesAt, points.at(-1)?.at ?? 0)], ticks, timeZone)}
          {peopleAxis(4)}
          <Area
            dataKey="expected"
            fill="var(--expected)"
            fillOpacity={1}
            stroke="var(--expected-line)"
            strokeDasharray="3 3"
            isAnimationActive={false}
            dot={false}
            activeDot={false}
          />
          <Area
            dataKey="band"
            fill="var(--figure)"
            fillOpacity={0.22}
            stroke="var(--figure)"
            strokeWidth={0.8}
            isAnimationActive={false}
            connectNulls
            dot={false}
            activeDot={false}
          />
          <Line
            dataKey="forecast"
            stroke="var(--figure)"
            strokeWidth={1.4}
            strokeDasharray="4 3"
            isAnimationActive={false}
            connectNulls
            dot={false}
            activeDot={false}
          />
          <Line
            dataKey="checkedIn"
            stroke="var(--figure)"
            strokeWidth={2.5}
            isAnimationActive={false}
            dot={false}
            activeDot={false}
          />
        </ComposedChart>
      </div>
      <figcaption>
        {words}
        <details>
          <summary>By the hour</summary>
          <table>
            <thead>
              <tr>
                <th scope="col">Until</th>
                <th scope="col">Checked in</th>
                <th scope="col">Expected</th>
                {fan && <th scope="col">Forecast</th>}
              </tr>
            </thead>
            <tbody>
              {hourly.map(p => (
                <tr key={p.at}>
                  <th scope="row">{clockWords(p.at, timeZone)}</th>
                  <td>{p.checkedIn === null ? '—' : countWords(p.checkedIn)}</td>
                  <td>{countWords(p.expected)}</td>
                  {fan && <td>{bandWords(fanAt.get(p.at))}</td>}
                </tr>
              ))}
            </tbody>
          </table>
        </details>
      </figcaption>
    </figure>
  )
}

type ChartPoint = CurvePoint & { band?: [number, number]; forecast?: number }

/** The curve's points, those that the fan has too with its band. */
function withFan(points: CurvePoint[], fan: Fan | null): ChartPoint[] {
  const fanAt = new Map(fan?.points.map(p => [p.at, p]))
  return points.map(point => {
    const there = fanAt.get(point.at)
    return there ? { ...point, band: [there.low, there.high], forecast: there.middle } : point
  })
}

function bandWords(point: FanPoint | undefined): string {
  return point ? `${countWords(point.low)}–${countWords(point.high)}` : '—'
}
