'use client'
import { memo } from 'react'
import { ruleTitle } from '../../server/domain/calls/words.ts'
import type { BoardRow } from '../../server/domain/day/row.ts'
import type { Reason } from '../../server/domain/day/state.ts'
import { compareTiers } from '../../server/domain/day/tiers.ts'
import { type Instant, MINUTE } from '../../server/domain/time.ts'
import type { PlanBrief } from '../../server/protocol/board.ts'
import { clockWords, lengthWords } from '../live/clock.ts'
import { useDayNow, usePlan, useRow } from '../live/useBoard.ts'
import { useStripForecast } from '../live/useForecast.ts'
import { countWords, isStale, paceOf, paceWords } from '../parts/figures.ts'
import { Glyph, signOf, signWords } from '../parts/glyph.tsx'
import { Strip } from '../parts/strip.tsx'
import type { StripFrame } from '../parts/stripGeometry.ts'
import css from './precincts.module.css'

export const ROW_HEIGHT = 40

/** The figure at the end of a row, and under it what it means and how old it is. */
export function tailWords(
  row: BoardRow,
  plan: PlanBrief,
  now: Instant,
): { figure: string; under: string; old: boolean } {
  if (row.checkedIn === null) {
    const steps = row.standing === 'setting-up' || row.standing === 'ready'
    return {
      figure: '—',
      under: steps ? `${row.opening.done} of ${row.opening.of} steps` : 'no count',
      old: false,
    }
  }
  const at = clockWords(row.checkedIn.asOf, plan.timeZone)
  const old = row.closedAt === null && isStale(row.checkedIn, now, plan.countEveryMinutes)
  const pace = paceOf(row)
  return {
    figure: countWords(row.checkedIn.is),
    under: old || pace === null ? `as of ${at}` : `${paceWords(pace)} at ${at}`,
    old,
  }
}

/** The gravest of a precinct's reasons, the older of two alike. */
function worstOf(reasons: readonly Reason[]): Reason | undefined {
  return [...reasons].sort((a, b) => compareTiers(a.tier, b.tier) || a.since - b.since)[0]
}

type Props = {
  code: string
  top: number
  place: number
  of: number
  frame: StripFrame
  selected: boolean
  onSelect(code: string): void
}

export const PrecinctRow = memo(function PrecinctRow({
  code,
  top,
  place,
  of,
  frame,
  selected,
  onSelect,
}: Props) {
  const plan = usePlan()
  const row = useRow(code)
  const now = useDayNow(MINUTE)
  const forecast = useStripForecast(code)
  const precinct = plan.precincts.find(p => p.code === code)
  if (!row || !precinct) return null
  const sign = signOf(
    row,
    (plan.tabulators[code] ?? []).map(t => t.tag),
  )
  const worst = worstOf(row.reasons)
  const tail = tailWords(row, plan, now)
  return (
    // biome-ignore lint/a11y/useKeyWithClickEvents: the list has the keyboard (arrows, Enter)
    // biome-ignore lint/a11y/useFocusableInteractive: focus stays on the list, which names its active row
    <div
      id={`row-${code}`}
      role="option"
      aria-selected={selected}
      aria-posinset={place}
      aria-setsize={of}
      className={css.row}
      style={{ transform: `translateY(${top}px)`, height: ROW_HEIGHT }}
      onClick={() => onSelect(code)}
    >
      <div className={css.who}>
        <p className={css.name}>{precinct.name}</p>
        <p className={`${css.standing} ${worst ? `tier-${worst.tier} ${css.asks}` : 'soft'}`}>
          <Glyph sign={sign} />
          <span className="vh">{worst ? `${signWords(sign)}, ` : ''}</span>
          <span className={css.words}>{worst ? ruleTitle[worst.rule] : signWords(sign)}</span>
          {worst && now - worst.since >= MINUTE && (
            <span className={css.length}>{lengthWords(now - worst.since)}</span>
          )}
        </p>
      </div>
      <Strip
        row={row}
        expected={precinct.expected}
        profile={plan.profile}
        frame={frame}
        now={now}
        forecast={forecast}
      />
      <div className={css.figures}>
        <p className={css.figure}>{tail.figure}</p>
        <p className={tail.old ? css.old : css.under}>{tail.under}</p>
      </div>
    </div>
  )
})
