'use client'
import { HOUR, type Instant } from '../../server/domain/time.ts'
import { clockWords, lengthWords } from '../live/clock.ts'
import css from './dayArc.module.css'
import { useWidth } from './useWidth.ts'

type Props = { opensAt: Instant; closesAt: Instant; midnight: Instant; timeZone: string; now: Instant }

const HEIGHT = 84
const HORIZON = 64
const PEAK = 52
/** How much of the day before opening and after closing the horizon shows. */
const MARGIN = 1.75 * HOUR

function toClose({ opensAt, closesAt, now }: Pick<Props, 'opensAt' | 'closesAt' | 'now'>): string {
  if (now < opensAt) return `opens in ${lengthWords(opensAt - now)}`
  if (now < closesAt) return `${lengthWords(closesAt - now)} to close`
  return `closed ${lengthWords(now - closesAt)} ago`
}

/** The sun over the legal hours: where the day stands. */
export function DayArc({ opensAt, closesAt, midnight, timeZone, now }: Props) {
  const [ref, width] = useWidth<HTMLDivElement>(640)
  const from = opensAt - MARGIN
  const to = closesAt + MARGIN
  const x = (at: Instant) => Math.round(((at - from) / (to - from)) * width * 10) / 10
  const u = (now - opensAt) / (closesAt - opensAt)
  const height = (share: number) => HORIZON - 4 * PEAK * share * (1 - share)
  const arc = (until: number) =>
    Array.from({ length: 41 }, (_, i) => (i / 40) * until)
      .map((s, i) => `${i === 0 ? 'M' : 'L'}${x(opensAt + s * (closesAt - opensAt))} ${height(s).toFixed(1)}`)
      .join('')
  const up = u >= 0 && u <= 1
  const sunX = Math.min(width - 8, Math.max(8, x(now)))
  const sunY = up ? height(u) : HORIZON
  const hours: Instant[] = []
  for (let at = midnight; at < to; at += 3 * HOUR) if (x(at) > 20 && x(at) < width - 20) hours.push(at)
  // Beside the sun while it is up, on the side with room; under the arc before opening and after closing.
  const label = !up
    ? { x: x((opensAt + closesAt) / 2), y: HORIZON - 22, anchor: 'middle' as const }
    : sunX > width * 0.62
      ? { x: sunX - 15, y: sunY + 5, anchor: 'end' as const }
      : { x: sunX + 15, y: sunY + 5, anchor: 'start' as const }
  const words = toClose({ opensAt, closesAt, now })
  return (
    <div ref={ref} className={css.arc}>
      <svg
        width={width}
        height={HEIGHT}
        role="img"
        aria-label={`${clockWords(now, timeZone)}, ${words}. Legal hours ${clockWords(opensAt, timeZone)} to ${clockWords(closesAt, timeZone)}.`}
      >
        <line x1={0} x2={width} y1={HORIZON} y2={HORIZON} className={css.horizon} />
        <path d={arc(1)} className={css.path} />
        {u > 0 && <path d={arc(Math.min(1, u))} className={css.gone} />}
        {hours.map(at => (
          <text key={at} x={x(at)} y={HORIZON + 15} textAnchor="middle">
            {clockWords(at, timeZone)}
          </text>
        ))}
        {!(up && u < 0.14) && (
          <text x={x(opensAt) + 40} y={HORIZON - 5}>
            opens {clockWords(opensAt, timeZone)}
          </text>
        )}
        {!(up && u > 0.86) && (
          <text x={x(closesAt) - 40} y={HORIZON - 5} textAnchor="end">
            closes {clockWords(closesAt, timeZone)}
          </text>
        )}
        <circle cx={sunX} cy={sunY} r={7.5} className={up ? css.sun : css.below} />
        <text x={label.x} y={label.y} textAnchor={label.anchor}>
          <tspan className={css.time}>{clockWords(now, timeZone)}</tspan>
          <tspan dx={7} className={css.words}>
            {words}
          </tspan>
        </text>
      </svg>
    </div>
  )
}
