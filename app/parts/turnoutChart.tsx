'use client'
import { Area, CartesianGrid, ComposedChart, Line, XAxis, YAxis } from 'recharts'
import type { CurvePoint } from '../../server/domain/day/county.ts'
import { HOUR, type Instant } from '../../server/domain/time.ts'
import { clockWords } from '../live/clock.ts'
import { countWords, signed } from './figures.ts'
import css from './turnoutChart.module.css'
import { useWidth } from './useWidth.ts'

type Props = {
  points: CurvePoint[]
  counted: Counted
  opensAt: Instant
  closesAt: Instant
  timeZone: string
  title: string
  height?: number
}

/** The latest counts together, and what was expected at each count's own instant; null: nobody has counted. */
export type Counted = { checkedIn: number; expectedThen: number } | null

/**
 * What the curve says, in a sentence. Like is compared with like: the last stretch of a county's curve lags,
 * since its precincts counted at different times.
 */
export function curveWords(counted: Counted, wholeDay: number): string {
  const whole = `${countWords(wholeDay)} expected by closing.`
  if (counted === null) return `No count yet. ${whole}`
  const { checkedIn, expectedThen } = counted
  const gap = expectedThen > 0 ? ` (${signed((checkedIn / expectedThen - 1) * 100)}%)` : ''
  return `${countWords(checkedIn)} checked in; ${countWords(expectedThen)} were expected when they were counted${gap}. ${whole}`
}

/** Voters checked in so far (line) before the voters expected so far (pale), with the same as words and table. */
export function TurnoutChart({ points, counted, opensAt, closesAt, timeZone, title, height = 150 }: Props) {
  const [ref, width] = useWidth<HTMLElement>(240)
  const ticks: Instant[] = []
  for (let at = opensAt + 0.5 * HOUR; at < closesAt; at += 4 * HOUR) ticks.push(Math.round(at / HOUR) * HOUR)
  const words = curveWords(counted, points.at(-1)?.expected ?? 0)
  const hourly = points.filter(p => p.at % HOUR === 0 || p === points.at(-1))
  return (
    <figure ref={ref} className={css.chart} aria-label={title}>
      <div aria-hidden="true">
        <ComposedChart
          data={[
            { at: opensAt, checkedIn: points.some(p => p.checkedIn !== null) ? 0 : null, expected: 0 },
            ...points,
          ]}
          width={width}
          height={height}
          margin={{ top: 6, right: 14, bottom: 0, left: 0 }}
          accessibilityLayer={false}
        >
          <CartesianGrid vertical={false} stroke="var(--rule)" />
          <XAxis
            dataKey="at"
            type="number"
            domain={[opensAt, Math.max(closesAt, points.at(-1)?.at ?? 0)]}
            ticks={ticks}
            tickFormatter={(at: number) => clockWords(at, timeZone)}
            tick={{ fontSize: 11, fill: 'var(--soft)' }}
            stroke="var(--rule)"
            tickLine={false}
          />
          <YAxis
            width={38}
            tickCount={4}
            allowDecimals={false}
            tickFormatter={(n: number) => (n >= 10_000 ? `${Math.round(n / 1_000)}k` : countWords(n))}
            tick={{ fontSize: 11, fill: 'var(--soft)' }}
            axisLine={false}
            tickLine={false}
          />
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
              </tr>
            </thead>
            <tbody>
              {hourly.map(p => (
                <tr key={p.at}>
                  <th scope="row">{clockWords(p.at, timeZone)}</th>
                  <td>{p.checkedIn === null ? '—' : countWords(p.checkedIn)}</td>
                  <td>{countWords(p.expected)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </details>
      </figcaption>
    </figure>
  )
}
