import type { BoardForecasts } from '../../server/domain/forecast/onBoard.ts'
import type { Snapshot } from '../../server/protocol/board.ts'
import type { View } from '../../server/protocol/review.ts'
import { type BoardState, EMPTY_BOARD, outlookOf } from './boardStore.ts'
import type { BoardLink } from './socket.ts'

/**
 * A board that shows one picture of the record and then another: what the desk's own components are fed by on the
 * review page. Its clock stands still at the picture's instant, nothing arrives by itself, and nothing can be
 * commanded. A row that is the same in two pictures keeps its identity, so that only what differs is drawn again.
 */
export type StillBoard = {
  link: BoardLink
  show(picture: Snapshot, view: View): void
  /** The forecasts that stood at the picture's entry; those of another picture than is shown are left aside. */
  foresee(position: number, forecasts: BoardForecasts | null): void
}

export function makeStillBoard(wall: () => number): StillBoard {
  const listeners = new Set<() => void>()
  /** Rows and lists as text, beside the thing that was shown. */
  let texts = new Map<string, string>()
  let state: BoardState = { ...EMPTY_BOARD, link: { is: 'connected' } }

  function show(picture: Snapshot, view: View) {
    const samePlan = state.log === picture.log
    const fresh = new Map<string, string>()
    const keep = <T>(name: string, made: T, before: T | undefined): T => {
      const text = JSON.stringify(made)
      fresh.set(name, text)
      return before !== undefined && texts.get(name) === text ? before : made
    }
    const rows = new Map(
      picture.rows.map(row => [row.code, keep(`row ${row.code}`, row, state.rows.get(row.code))]),
    )
    const calls = keep('calls', picture.calls, [...state.calls])
    const errands = keep('errands', picture.errands, [...state.errands])
    const notices = keep('notices', picture.notices, [...state.notices])
    const sameRows =
      rows.size === state.rows.size && [...rows].every(([code, row]) => state.rows.get(code) === row)
    state = {
      ...state,
      plan: samePlan ? state.plan : picture.plan,
      log: picture.log,
      cursor: picture.cursor,
      head: picture.head,
      rows: sameRows ? state.rows : rows,
      calls: calls === picture.calls ? picture.calls : state.calls,
      errands: errands === picture.errands ? picture.errands : state.errands,
      notices: notices === picture.notices ? picture.notices : state.notices,
      people: picture.people,
      // Until they come, those of the picture before would be another hour's.
      forecasts: null,
      clock: { dayAt: picture.now, wallAt: wall(), speed: 0 },
      pictureOf: picture.now,
      heardAt: wall(),
      still: view,
    }
    texts = fresh
    for (const listener of listeners) listener()
  }

  function foresee(position: number, forecasts: BoardForecasts | null) {
    if (position !== state.cursor || state.still !== 'known') return
    state = { ...state, forecasts: forecasts && outlookOf(forecasts) }
    for (const listener of listeners) listener()
  }

  const nothing = () => {}
  return {
    link: {
      store: {
        get: () => state,
        listen(listener) {
          listeners.add(listener)
          return () => listeners.delete(listener)
        },
        connected: nothing,
        lost: nothing,
        refuse: nothing,
        heard: nothing,
        patch: nothing,
      },
      send: async () => ({
        ok: false,
        refusal: {
          reason: 'not-allowed',
          message: 'This is a picture of the record: nothing can be done in it.',
        },
      }),
      end: nothing,
    },
    show,
    foresee,
  }
}
