import { callList } from '../domain/day/callList.ts'
import { type BoardNotice, boardNotices } from '../domain/day/notices.ts'
import type { BoardRow, CallLine } from '../domain/day/row.ts'
import { rowOf } from '../domain/day/rowOf.ts'
import type { DayState, PrecinctState } from '../domain/day/state.ts'
import type { BoardForecasts } from '../domain/forecast/onBoard.ts'
import type { PlanIndex } from '../domain/plan/brief.ts'
import type { Instant } from '../domain/time.ts'
import type { LogHead, Snapshot } from '../protocol/board.ts'

/** Rows of a day's precincts, each made once for each of its states. */
export type Rows = (p: PrecinctState) => BoardRow

export function rowsOf(index: PlanIndex): Rows {
  const kept = new WeakMap<PrecinctState, BoardRow>()
  return p => {
    const there = kept.get(p)
    if (there) return there
    const made = rowOf(p, index)
    kept.set(p, made)
    return made
  }
}

/** Identity of a log for boards, by the hash of its first entry: a cursor of another log is worth nothing here. */
export function logIdentity(day: string, firstHash: string): string {
  return `${day}:${firstHash.slice(0, 16)}`
}

/**
 * The whole picture of a board at an instant: the one function behind the live board and the replay (P12).
 * @param calls the call list at `now`, where it is known already
 */
export function snapshotOf(picture: {
  state: DayState
  index: PlanIndex
  rows: Rows
  log: string
  head: LogHead
  now: Instant
  /** Day seconds per second; 0: a still picture. */
  speed: number
  people: Record<string, string>
  calls?: CallLine[]
  /** The same of its notices. */
  notices?: BoardNotice[]
  /** Of a live board; a picture of the record is asked for them by itself. */
  forecasts?: BoardForecasts | null
}): Snapshot {
  const { state, index, rows, log, head, now, speed, people } = picture
  return {
    log,
    cursor: head.position,
    head,
    now,
    speed,
    plan: index.brief,
    rows: [...state.precincts.values()].map(rows),
    calls: picture.calls ?? callList(state, index, now),
    errands: [...state.errands.values()],
    notices: picture.notices ?? boardNotices(state),
    people,
    forecasts: picture.forecasts ?? null,
  }
}
