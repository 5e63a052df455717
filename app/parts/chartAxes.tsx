import { CartesianGrid, XAxis, YAxis } from 'recharts'
import type { Instant } from '../../server/domain/time.ts'
import { clockWords } from '../live/clock.ts'
import { countWords } from './figures.ts'

/** What curves over the county's clock have in common. Elements, not components: the chart looks for its axes itself. */

const TICK = { fontSize: 11, fill: 'var(--soft)' }

export const gridLines = <CartesianGrid vertical={false} stroke="var(--rule)" />

export function clockAxis(domain: [Instant, Instant], ticks: Instant[], timeZone: string) {
  return (
    <XAxis
      dataKey="at"
      type="number"
      domain={domain}
      ticks={ticks}
      tickFormatter={(at: number) => clockWords(at, timeZone)}
      tick={TICK}
      stroke="var(--rule)"
      tickLine={false}
    />
  )
}

/** People, from none up; from ten thousand on in thousands. */
export function peopleAxis(tickCount: number) {
  return (
    <YAxis
      width={38}
      tickCount={tickCount}
      allowDecimals={false}
      tickFormatter={(n: number) => (n >= 10_000 ? `${Math.round(n / 1_000)}k` : countWords(n))}
      tick={TICK}
      axisLine={false}
      tickLine={false}
    />
  )
}
