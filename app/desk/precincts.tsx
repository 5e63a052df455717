'use client'
import { useVirtualizer } from '@tanstack/react-virtual'
import { type KeyboardEvent, type RefObject, useEffect, useMemo } from 'react'
import { standingWords } from '../../server/domain/calls/words.ts'
import type { Standing } from '../../server/domain/day/state.ts'
import { HOUR } from '../../server/domain/time.ts'
import { clockWords } from '../live/clock.ts'
import { useBoard, usePlan } from '../live/useBoard.ts'
import { frameOf, xOf } from '../parts/stripGeometry.ts'
import { useWidth } from '../parts/useWidth.ts'
import { useDesk } from './deskContext.ts'
import { pick, SORTS, type Sort, type Wish } from './pick.ts'
import { PrecinctRow, ROW_HEIGHT } from './precinctRow.tsx'
import css from './precincts.module.css'

type Props = {
  wish: Wish
  onWish(wish: Wish): void
  search: RefObject<HTMLInputElement | null>
  list: RefObject<HTMLDivElement | null>
}

/** All precincts as day strips; only the rows in sight are in the page. */
export function Precincts({ wish, onWish, search, list }: Props) {
  const plan = usePlan()
  const rows = useBoard(s => s.rows)
  const calls = useBoard(s => s.calls)
  const { selected, select, open } = useDesk()
  const codes = useMemo(() => pick(plan, rows, calls, wish), [plan, rows, calls, wish])
  const areas = useMemo(() => [...new Set(plan.precincts.map(p => p.area).filter(Boolean))].sort(), [plan])
  const [measure, stripWidth] = useWidth<HTMLDivElement>(480)
  const frame = useMemo(() => frameOf(plan, stripWidth, ROW_HEIGHT), [plan, stripWidth])

  const virtual = useVirtualizer({
    count: codes.length,
    getScrollElement: () => list.current,
    estimateSize: () => ROW_HEIGHT,
    overscan: 8,
    getItemKey: i => codes[i]!,
    initialRect: { width: 700, height: 600 },
  })
  const at = selected === null ? -1 : codes.indexOf(selected)
  // biome-ignore lint/correctness/useExhaustiveDependencies: only a new selection moves the list, not a new order
  useEffect(() => {
    if (at >= 0) virtual.scrollToIndex(at)
  }, [selected])

  function onKey(event: KeyboardEvent) {
    const last = codes.length - 1
    const to: Record<string, number> = {
      ArrowDown: Math.min(last, at + 1),
      ArrowUp: Math.max(0, at - 1),
      Home: 0,
      End: last,
      PageDown: Math.min(last, at + 10),
      PageUp: Math.max(0, at - 10),
    }
    const next = to[event.key]
    if (next !== undefined && codes[next]) {
      event.preventDefault()
      select(codes[next])
    }
    if (event.key === 'Enter' && at >= 0) {
      event.preventDefault()
      open(codes[at]!)
    }
  }

  const hours: number[] = []
  for (let h = plan.midnight; h < frame.to; h += 3 * HOUR) if (h > frame.from) hours.push(h)

  return (
    <section className={css.precincts} aria-labelledby="precincts">
      <div className={css.top}>
        <h2 id="precincts">Precincts</h2>
        <p className={css.found} role="status">
          {codes.length === plan.precincts.length
            ? `${codes.length} rows`
            : `${codes.length} of ${plan.precincts.length}`}
        </p>
        <div className={css.wishes}>
          <input
            ref={search}
            type="search"
            aria-label="Search precincts"
            placeholder="Search ( / )"
            value={wish.search}
            onChange={e => onWish({ ...wish, search: e.target.value })}
          />
          <label>
            <span className="vh">Sort by</span>
            <select value={wish.sort} onChange={e => onWish({ ...wish, sort: e.target.value as Sort })}>
              {Object.entries(SORTS).map(([key, word]) => (
                <option key={key} value={key}>
                  by {word}
                </option>
              ))}
            </select>
          </label>
          <label>
            <span className="vh">Standing</span>
            <select
              value={wish.standing}
              onChange={e => onWish({ ...wish, standing: e.target.value as Standing | '' })}
            >
              <option value="">all standings</option>
              {Object.entries(standingWords).map(([key, word]) => (
                <option key={key} value={key}>
                  {word}
                </option>
              ))}
            </select>
          </label>
          {areas.length > 1 && (
            <label>
              <span className="vh">Area</span>
              <select value={wish.area} onChange={e => onWish({ ...wish, area: e.target.value })}>
                <option value="">all areas</option>
                {areas.map(area => (
                  <option key={area}>{area}</option>
                ))}
              </select>
            </label>
          )}
          <label className={css.only}>
            <input
              type="checkbox"
              checked={wish.onlyReasons}
              onChange={e => onWish({ ...wish, onlyReasons: e.target.checked })}
            />
            with reasons
          </label>
        </div>
      </div>
      <div className={css.axis} aria-hidden="true">
        <span />
        <div ref={measure} className={css.hours}>
          {hours.map(h => (
            <span key={h} style={{ left: xOf(h, frame) }}>
              {clockWords(h, plan.timeZone)}
            </span>
          ))}
        </div>
        <span className={css.figures}>checked in</span>
      </div>
      <div
        ref={list}
        className={css.list}
        role="listbox"
        tabIndex={0}
        aria-label="Precincts"
        aria-activedescendant={at >= 0 ? `row-${selected}` : undefined}
        onKeyDown={onKey}
      >
        {codes.length === 0 && (
          <p className={css.none}>
            No precinct fits.{' '}
            <button
              type="button"
              className="button quiet"
              onClick={() => onWish({ ...wish, standing: '', area: '', onlyReasons: false, search: '' })}
            >
              Show all
            </button>
          </p>
        )}
        <div role="presentation" style={{ height: virtual.getTotalSize(), position: 'relative' }}>
          {virtual.getVirtualItems().map(item => (
            <PrecinctRow
              key={item.key}
              code={codes[item.index]!}
              top={item.start}
              place={item.index + 1}
              of={codes.length}
              frame={frame}
              selected={item.index === at}
              onSelect={open}
            />
          ))}
        </div>
      </div>
    </section>
  )
}
