import { joinErrands } from '../../server/domain/day/errand.ts'
import { type BoardNotice, joinNotices } from '../../server/domain/day/notices.ts'
import type { BoardRow, CallLine } from '../../server/domain/day/row.ts'
import type { Errand } from '../../server/domain/day/state.ts'
import type { BoardForecast, BoardForecasts } from '../../server/domain/forecast/onBoard.ts'
import type { LogHead, Patch, PlanBrief, Snapshot, SubscribeAnswer } from '../../server/protocol/board.ts'
import type { View } from '../../server/protocol/review.ts'
import type { ClockAnchor } from './clock.ts'

/**
 * The browser's copy of the board. It knows no framework, no socket and no clock: all three are given.
 *
 * Kept true here:
 * - A patch is applied only where its `from` is our cursor; anything else asks for a fresh picture, and at most
 *   one such request is under way at a time. Patches that arrive meanwhile wait (at most HELD of them).
 * - A row or list that didn't change keeps its identity, so that only what changed is drawn again.
 * - A lost link never empties the board: the last picture stays, with the instant from which it is.
 */
type Link = { is: 'connecting' } | { is: 'connected' } | { is: 'lost'; since: number }

export type BoardState = {
  link: Link
  /** null: no picture yet. */
  plan: PlanBrief | null
  log: string | null
  cursor: number
  head: LogHead | null
  rows: ReadonlyMap<string, BoardRow>
  calls: readonly CallLine[]
  errands: readonly Errand[]
  notices: readonly BoardNotice[]
  people: Readonly<Record<string, string>>
  /** The latest forecasts; null: none yet. */
  forecasts: Outlook | null
  clock: ClockAnchor | null
  /** Day time of the last change that reached us. */
  pictureOf: number | null
  /** Wall time of the last sign of life from the server. */
  heardAt: number | null
  /** Why the server gives us no board; null: none. */
  refused: string | null
  /** Set where this is a picture of the record and not the live board: by which view. */
  still?: View
}

/** Forecasts by precinct; those that didn't change keep their identity. */
export type Outlook = Omit<BoardForecasts, 'precincts'> & { precincts: ReadonlyMap<string, BoardForecast> }

/** Forecasts that arrived laid over those that were there; without `before`: as they are. */
export function outlookOf({ precincts, ...rest }: BoardForecasts, before?: Outlook | null): Outlook {
  const all = new Map(before?.precincts)
  for (const one of precincts) all.set(one.code, one)
  return { ...rest, precincts: all }
}

type SubscribeRequest = { day: string; cursor?: number; log?: string; hash?: string }

export type BoardDoors = {
  day: string
  /** Asks the server; rejects where no answer came in time. */
  subscribe(request: SubscribeRequest): Promise<SubscribeAnswer>
  /** Wall time in milliseconds. */
  wall(): number
  later(milliseconds: number, what: () => void): void
}

const HELD = 64
const RETRY_MS = { first: 1_000, last: 15_000 }

/** Before the first picture. */
export const EMPTY_BOARD: Omit<BoardState, 'link'> = {
  plan: null,
  log: null,
  cursor: 0,
  head: null,
  rows: new Map(),
  calls: [],
  errands: [],
  notices: [],
  people: {},
  forecasts: null,
  clock: null,
  pictureOf: null,
  heardAt: null,
  refused: null,
}

export type BoardStore = ReturnType<typeof makeBoardStore>

export function makeBoardStore(doors: BoardDoors) {
  const listeners = new Set<() => void>()
  let syncing = false
  let attempt = 0
  let held: Patch[] = []
  let state: BoardState = { ...EMPTY_BOARD, link: { is: 'connecting' } }

  function set(next: Partial<BoardState>) {
    state = { ...state, ...next }
    for (const listener of listeners) listener()
  }

  const anchorOf = (p: { now: number; speed: number }): ClockAnchor => ({
    dayAt: p.now,
    wallAt: doors.wall(),
    speed: p.speed,
  })

  function take(s: Snapshot) {
    set({
      plan: s.plan,
      log: s.log,
      cursor: s.cursor,
      head: s.head,
      rows: new Map(s.rows.map(row => [row.code, row])),
      calls: s.calls,
      errands: s.errands,
      notices: s.notices,
      people: s.people,
      forecasts: s.forecasts && outlookOf(s.forecasts),
      clock: anchorOf(s),
      pictureOf: s.now,
      heardAt: doors.wall(),
      refused: null,
    })
  }

  /** Whether the patch was dealt with; false: there is a gap before it. */
  function apply(p: Patch): boolean {
    if (state.plan === null || p.log !== state.log) return false
    if (p.from !== state.cursor) return p.to <= state.cursor && p.from < state.cursor
    let rows = state.rows
    if (p.rows.length > 0) {
      const next = new Map(state.rows)
      for (const row of p.rows) next.set(row.code, row)
      rows = next
    }
    set({
      cursor: p.to,
      head: p.head,
      rows,
      calls: p.calls ?? state.calls,
      errands: p.errands ? joinErrands(state.errands, p.errands) : state.errands,
      notices: p.notices ? joinNotices(state.notices, p.notices) : state.notices,
      people: p.people ?? state.people,
      forecasts: p.forecasts ? outlookOf(p.forecasts, state.forecasts) : state.forecasts,
      clock: anchorOf(p),
      pictureOf: p.now,
      heardAt: doors.wall(),
    })
    return true
  }

  function resync() {
    if (syncing || state.link.is !== 'connected') return
    syncing = true
    const { log, cursor, head } = state
    const known = log === null || head === null ? {} : { cursor, log, hash: head.hash }
    doors.subscribe({ day: doors.day, ...known }).then(answered, failed)
  }

  function answered(answer: SubscribeAnswer) {
    syncing = false
    attempt = 0
    if (!answer.ok) {
      held = []
      set({ refused: answer.problems.map(p => p.message).join(' ') || 'The server gave no reason.' })
      return
    }
    if ('snapshot' in answer) take(answer.snapshot)
    const waiting = 'patches' in answer ? [...answer.patches, ...held] : held
    held = []
    set({ refused: null, heardAt: doors.wall() })
    for (const patch of waiting) {
      if (apply(patch)) continue
      // Patches that don't join on: our place in the log is of no use any more, so the whole picture is asked for.
      if ('patches' in answer) set({ log: null })
      resync()
      return
    }
  }

  function failed() {
    syncing = false
    held = []
    const wait = Math.min(RETRY_MS.last, RETRY_MS.first * 2 ** attempt++)
    doors.later(wait, resync)
  }

  return {
    get: () => state,
    listen(listener: () => void): () => void {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
    connected() {
      // Asked for before anybody is told: a command that somebody sends at once comes after the subscription.
      state = { ...state, link: { is: 'connected' }, heardAt: doors.wall() }
      resync()
      set({})
    },
    /** The link went. Its first instant counts, however often the loss is told. */
    lost() {
      if (state.link.is !== 'lost') set({ link: { is: 'lost', since: doors.wall() } })
    },
    /** The server may be reached but admits us no more (session ended, role taken away). */
    refuse: (why: string) => set({ refused: why }),
    /** A sign of life that changes nothing. */
    heard: () => set({ heardAt: doors.wall() }),
    patch(p: Patch) {
      if (syncing) {
        if (held.length < HELD) held.push(p)
        return
      }
      if (!apply(p)) resync()
    },
  }
}
