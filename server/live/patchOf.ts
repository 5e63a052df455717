import type { BoardNotice } from '../domain/day/notices.ts'
import type { BoardRow, CallLine } from '../domain/day/row.ts'
import type { DayState } from '../domain/day/state.ts'
import type { BoardForecasts } from '../domain/forecast/onBoard.ts'
import type { Instant } from '../domain/time.ts'
import type { LogHead, Patch } from '../protocol/board.ts'
import type { Rows } from './snapshotOf.ts'

/** What a board was given last. `forecasts`: their version (forecasting.ts). */
export type Seen = {
  calls: CallLine[]
  notices: BoardNotice[]
  people: Record<string, string>
  forecasts: number
}

/** Everything that changed after a cursor; lists go along where they are not those that were seen. */
export function patchOf(
  now: {
    state: DayState
    rows: Rows
    log: string
    head: LogHead
    now: Instant
    speed: number
    calls: CallLine[]
    notices: BoardNotice[]
    people: Record<string, string>
    /** Newer than those that were seen; null: none are. */
    forecasts: BoardForecasts | null
  },
  cursor: number,
  seen: Seen | undefined,
): Patch {
  const { state, calls, people, forecasts } = now
  const rows: BoardRow[] = []
  for (const p of state.precincts.values()) if (p.touchedAt > cursor) rows.push(now.rows(p))
  const errands = [...state.errands.values()].filter(e => e.touchedAt > cursor)
  const known = new Set(seen?.notices)
  const notices = now.notices.filter(notice => !known.has(notice))
  return {
    log: now.log,
    from: cursor,
    to: state.cursor,
    head: now.head,
    now: now.now,
    speed: now.speed,
    rows,
    ...(seen?.calls === calls ? {} : { calls }),
    ...(errands.length === 0 ? {} : { errands }),
    ...(notices.length === 0 ? {} : { notices }),
    ...(seen?.people === people ? {} : { people }),
    ...(forecasts === null ? {} : { forecasts }),
  }
}
