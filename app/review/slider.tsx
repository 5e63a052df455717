'use client'
import { QUARTER } from '../../server/domain/plan/brief.ts'
import { midnightOf } from '../../server/domain/plan/zone.ts'
import { type Instant, MINUTE } from '../../server/domain/time.ts'
import type { DayMarks } from '../../server/protocol/review.ts'
import { clockWords } from '../live/clock.ts'
import { useWidth } from '../parts/useWidth.ts'
import { dateWords, hoursOf, type Moment } from './moments.ts'
import css from './review.module.css'

const HEIGHT = 44
const BASE = 28
/** A range's thumb is this wide (review.module.css): its middle goes from half of it to the width less half. */
const THUMB = 16

/** The day on one line: what was recorded when, where reasons came up, and the instant that is looked at. */
export function Slider({ marks, at, go }: { marks: DayMarks; at: Instant; go(moment: Moment): void }) {
  const [measure, width] = useWidth<HTMLDivElement>(900)
  const { timeZone } = marks
  const first = Math.floor(marks.first / MINUTE) * MINUTE
  const last = Math.max(first + MINUTE, Math.ceil(marks.last / MINUTE) * MINUTE)
  const x = (instant: Instant) =>
    Math.round((THUMB / 2 + ((instant - first) / (last - first)) * (width - THUMB)) * 10) / 10
  const within = (instant: Instant) => instant >= first && instant <= last
  const most = Math.max(1, ...marks.quarters.map(q => q.entries))
  const stop = marks.reasons.filter(r => r.tier === 'stop').length
  return (
    <div ref={measure} className={css.slider}>
      <input
        type="range"
        className={css.range}
        aria-label="Instant of the day"
        aria-valuetext={`${clockWords(at, timeZone)} on ${dateWords(at, timeZone, true)}`}
        min={first}
        max={last}
        step={MINUTE}
        value={at}
        onChange={event => go({ at: Number(event.target.value) })}
        onKeyDown={event => {
          const by = { PageUp: 15, PageDown: -15 }[event.key]
          if (by === undefined) return
          event.preventDefault()
          go({ at: at + by * MINUTE })
        }}
      />
      <svg
        width={width}
        height={HEIGHT}
        role="img"
        aria-label={`${marks.entries.toLocaleString('en-US')} entries, ${marks.reasons.length} reasons of stop and now, ${stop} of them stop. Legal hours ${clockWords(marks.opensAt, timeZone)} to ${clockWords(marks.closesAt, timeZone)}.`}
      >
        {marks.quarters.map(q => {
          const left = x(Math.max(first, q.from))
          // By the square root, so that a quiet quarter hour still shows beside the morning's.
          const high = Math.max(1, Math.sqrt(q.entries / most) * 16)
          return (
            <rect
              key={q.from}
              x={left}
              y={BASE - high}
              width={Math.max(1, x(Math.min(last, q.from + QUARTER)) - left - 1)}
              height={high}
              className={css.entries}
            />
          )
        })}
        <line x1={0} x2={width} y1={BASE} y2={BASE} className={css.base} />
        {[marks.opensAt, marks.closesAt].filter(within).map(instant => (
          <line key={instant} x1={x(instant)} x2={x(instant)} y1={2} y2={BASE + 3} className={css.legal} />
        ))}
        {marks.reasons.map(r => (
          <path
            key={r.position}
            d={r.tier === 'stop' ? 'M-3.5 1h7l-3.5 6z' : 'M-3 1.5h6l-3 5z'}
            transform={`translate(${x(r.at)} 0)`}
            className={r.tier === 'stop' ? css.stop : css.now}
          />
        ))}
        {hoursOf(marks, midnightOf(marks.date, timeZone)).map(hour => (
          <text key={hour} x={x(hour)} y={BASE + 13} textAnchor="middle">
            {clockWords(hour, timeZone)}
          </text>
        ))}
      </svg>
      <p className={css.legend} aria-hidden="true">
        bars: entries each quarter hour · filled wedge: a reason of stop, hollow: of now · upright lines:
        legal hours
        {marks.reasonsLeftOut > 0 && ` · ${marks.reasonsLeftOut} more reasons have no mark`}
      </p>
    </div>
  )
}
