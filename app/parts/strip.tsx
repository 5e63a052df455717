import { memo, useId } from 'react'
import type { Instant } from '../../server/domain/time.ts'
import css from './strip.module.css'
import {
  BOX_HEIGHT,
  type StripForecast,
  type StripFrame,
  type StripRow,
  stripGeometry,
} from './stripGeometry.ts'

type Props = {
  row: StripRow
  expected: number
  profile: readonly number[]
  frame: StripFrame
  now: Instant
  forecast?: StripForecast | null
  /** What the picture says, in words; without it the strip is hidden from screen readers. */
  label?: string
}

/** The day strip: a precinct's whole day as one horizontal band. */
export const Strip = memo(function Strip({ row, expected, profile, frame, now, forecast, label }: Props) {
  const hatch = useId()
  const g = stripGeometry(row, expected, profile, frame, now, forecast)
  const boxY = g.base - BOX_HEIGHT
  return (
    <svg
      className={css.strip}
      width={frame.width}
      height={frame.height}
      role={label ? 'img' : undefined}
      aria-label={label}
      aria-hidden={label ? undefined : true}
    >
      <defs>
        <pattern id={hatch} width="4" height="4" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <rect width="4" height="4" className={css.leaf} />
          <line x1="1" x2="1" y2="4" className={css.hatch} />
        </pattern>
      </defs>
      {g.expected && <path d={g.expected} className={css.expected} />}
      {g.coming && <path d={g.coming} className={css.coming} />}
      <line x1={0} x2={frame.width} y1={g.base} y2={g.base} className={css.base} />
      <line x1={g.opensX} x2={g.opensX} y1={6} y2={g.base} className={css.hours} />
      <line x1={g.closesX} x2={g.closesX} y1={6} y2={g.base} className={css.hours} />
      {g.bars.map(bar => (
        <rect key={bar.x} x={bar.x} y={bar.y} width={bar.w} height={bar.h} className={css.bar} />
      ))}
      {g.setUp && (
        <rect
          x={g.setUp.x + 0.5}
          y={boxY + 0.5}
          width={g.setUp.w}
          height={BOX_HEIGHT - 1}
          className={g.setUp.late ? css.late : css.setUp}
        />
      )}
      {g.notches.map((x, i) => (
        <line
          // biome-ignore lint/suspicious/noArrayIndexKey: two steps may be done at one instant
          key={i}
          x1={x}
          x2={x}
          y1={boxY}
          y2={g.base}
          className={g.setUp?.late ? css.lateNotch : css.notch}
        />
      ))}
      {g.ready && (
        <g className={g.ready.late ? css.readyLate : css.ready}>
          <line
            x1={g.ready.x}
            x2={g.ready.x + g.ready.w}
            y1={boxY + BOX_HEIGHT / 2}
            y2={boxY + BOX_HEIGHT / 2}
          />
          <line x1={g.ready.middleX} x2={g.ready.middleX} y1={boxY - 1} y2={g.base} />
        </g>
      )}
      {g.boxes.map(box => (
        <rect
          key={`${box.what}${box.x}`}
          x={box.x}
          y={boxY - 1.5}
          width={box.w}
          height={BOX_HEIGHT + 1}
          className={css[box.what]}
          fill={box.what === 'slot' ? `url(#${hatch})` : undefined}
        />
      ))}
      {g.dots.map(x => (
        <circle key={x} cx={x} cy={g.base - 4} r={1.3} className={css.dot} />
      ))}
      {g.tail && (
        <g className={css.tail}>
          <line x1={g.tail.x} x2={g.tail.x + g.tail.w} y1={g.base - 4} y2={g.base - 4} />
          {g.tail.departedX !== null && <path d={`M${g.tail.departedX} ${g.base - 7}l4 3l-4 3`} />}
          {g.tail.received && <path d={`M${g.tail.x + g.tail.w - 3} ${g.base - 5}l2.5 3l5 -7`} />}
        </g>
      )}
      {g.marks.map((mark, i) => (
        <path
          // biome-ignore lint/suspicious/noArrayIndexKey: marks are only ever appended
          key={i}
          d={MARK[mark.what]}
          transform={`translate(${mark.x} 0)`}
          className={mark.what === 'call' ? css.call : css.mark}
        />
      ))}
      {g.nowX !== null && <line x1={g.nowX} x2={g.nowX} y1={0} y2={frame.height} className={css.now} />}
    </svg>
  )
})

/** A wedge for a call, a diamond for a visit, a cross for an incident; drawn around x = 0 at the top. */
const MARK = {
  call: 'M-3.2 1h6.4l-3.2 5.6z',
  visit: 'M0 0.8l3.6 3.6l-3.6 3.6l-3.6 -3.6z',
  incident: 'M-2.6 1.8l5.2 5.2M2.6 1.8l-5.2 5.2',
}
