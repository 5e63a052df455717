'use client'
import { Area, ComposedChart, Line } from 'recharts'
import type { LineForecastPoint } from '../../../server/domain/forecast/forecast.ts'
import { chanceWords } from '../../../server/domain/forecast/say.ts'
import { HOUR, type Instant } from '../../../server/domain/time.ts'
import { clockWords } from '../../live/clock.ts'
import css from '../../parts/chart.module.css'
import { clockAxis, gridLines, peopleAxis } from '../../parts/chartAxes.tsx'
import { countWords } from '../../parts/figures.ts'
import { useWidth } from '../../parts/useWidth.ts'

const HALF_HOUR = HOUR / 2

/** People in line over the next two hours: the band that holds it 80 times in a hundred, its middle, and what if. */
export function LineChart({
  points,
  then,
  inLine,
  from,
  timeZone,
}: {
  points: readonly LineForecastPoint[]
  then: readonly LineForecastPoint[] | null
  inLine: number
  from: Instant
  timeZone: string
}) {
  const [ref, width] = useWidth<HTMLElement>(380)
  if (points.length === 0) return null
  const changed = new Map(then?.map(p => [p.at, p]))
  const data = [
    { at: from, band: [inLine, inLine], mean: inLine, changed: then ? inLine : undefined },
    ...points.map(p => ({ at: p.at, band: [p.low, p.high], mean: p.mean, changed: changed.get(p.at)?.mean })),
  ]
  const until = points.at(-1)!.at
  const ticks: Instant[] = []
  for (let at = Math.ceil(from / HALF_HOUR) * HALF_HOUR; at <= until; at += HALF_HOUR) ticks.push(at)
  return (
    <figure ref={ref} className={css.chart} aria-label="The line in the next two hours">
      <div aria-hidden="true">
        <ComposedChart
          data={data}
          width={width}
          height={96}
          margin={{ top: 6, right: 14, bottom: 0, left: 0 }}
          accessibilityLayer={false}
        >
          {gridLines}
          {clockAxis([from, until], ticks, timeZone)}
          {peopleAxis(3)}
          <Area
            dataKey="band"
            fill="var(--figure)"
            fillOpacity={0.22}
            stroke="none"
            isAnimationActive={false}
          />
          <Line
            dataKey="mean"
            stroke="var(--figure)"
            strokeWidth={1.8}
            isAnimationActive={false}
            dot={false}
          />
          {then && (
            <Line
              dataKey="changed"
              stroke="var(--ink)"
              strokeWidth={1.6}
              strokeDasharray="4 3"
              isAnimationActive={false}
              dot={false}
            />
          )}
        </ComposedChart>
      </div>
      <figcaption>
        People in line: middle and the band for 80 of 100{then && ', dashed: what if'}.
        <details>
          <summary>By the half hour</summary>
          <table>
            <thead>
              <tr>
                <th scope="col">At</th>
                <th scope="col">In line</th>
                <th scope="col">Band</th>
                <th scope="col">Long wait</th>
                {then && <th scope="col">What if</th>}
              </tr>
            </thead>
            <tbody>
              {points
                .filter(p => p.at === until || (p.at > from && (p.at - from) % HALF_HOUR === 0))
                .map(p => (
                  <tr key={p.at}>
                    <th scope="row">{clockWords(p.at, timeZone)}</th>
                    <td>{countWords(p.mean)}</td>
                    <td>
                      {countWords(p.low)}–{countWords(p.high)}
                    </td>
                    <td>{chanceWords(p.over)}</td>
                    {then && <td>{countWords(changed.get(p.at)?.mean ?? 0)}</td>}
                  </tr>
                ))}
            </tbody>
          </table>
        </details>
      </figcaption>
    </figure>
  )
}
