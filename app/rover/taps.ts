import type { CommandAnswer } from '../../server/protocol/command.ts'
import type { MoveCommand } from '../parts/errandWords.ts'

/**
 * What a rover pressed and the office has not answered yet. It knows no framework, no socket and no clock.
 *
 * Kept true here:
 * - A tap is kept, with its own command id, before it is sent; it leaves only by an answer. Sent again after a
 *   break or a reload it has the same id, so the office writes it once.
 * - Taps go one at a time and in order: "arrived" never overtakes "on my way".
 * - A tap that was taken stands until the picture has it, so that the page never steps back for a moment.
 */
export type Tap = {
  id: string
  command: MoveCommand
  errand: string
  words: string | null
  /** Wall time of this phone when it was pressed, in milliseconds. */
  at: number
}
type Refused = { tap: Tap; message: string }
export type TapsState = {
  waiting: readonly Tap[]
  /** Answered at this position of the log. */
  taken: ReadonlyArray<Tap & { position: number }>
  refused: readonly Refused[]
  /** Whether this phone can keep taps over a reload. */
  keeps: boolean
}

export type TapDoors = {
  load(): Tap[]
  /** False where the phone keeps nothing. */
  save(taps: readonly Tap[]): boolean
  send(command: MoveCommand, body: TapBody, id: string): Promise<CommandAnswer>
  /** Wall time in milliseconds. */
  wall(): number
  freshId(): string
  later(milliseconds: number, what: () => void): void
}
export type TapBody = { errand: string; agoSeconds?: number; note?: string; why?: string }

/** More than a rover presses in a day without a link; above it a tap is not taken, and the page says so. */
export const MOST_WAITING = 60
/** Refusals that are shown, the latest. */
const MOST_REFUSED = 10
const AGAIN_MS = 3_000
/** The office believes half a day at most (protocol/command.ts). */
const LONGEST_AGO_S = 43_200

export type Taps = ReturnType<typeof makeTaps>

export function makeTaps(doors: TapDoors) {
  const listeners = new Set<() => void>()
  let sending = false
  let timed = false
  let state: TapsState = { waiting: doors.load(), taken: [], refused: [], keeps: true }

  function set(next: Partial<TapsState>) {
    state = { ...state, ...next }
    if (next.waiting) state.keeps = doors.save(state.waiting)
    for (const listener of listeners) listener()
  }

  async function flush() {
    if (sending) return
    sending = true
    for (let tap = state.waiting[0]; tap; tap = state.waiting[0]) {
      const answer = await doors.send(tap.command, bodyOf(tap, doors.wall()), tap.id)
      if (!answer.ok && answer.refusal.reason === 'unavailable') {
        again()
        break
      }
      const waiting = state.waiting.slice(1)
      if (answer.ok) set({ waiting, taken: [...state.taken, { ...tap, position: answer.position }] })
      else
        set({
          waiting,
          refused: [...state.refused, { tap, message: answer.refusal.message }].slice(-MOST_REFUSED),
        })
    }
    sending = false
  }

  function again() {
    if (timed) return
    timed = true
    doors.later(AGAIN_MS, () => {
      timed = false
      void flush()
    })
  }

  return {
    get: () => state,
    listen(listener: () => void): () => void {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
    /** False: too many wait already. */
    tap(command: MoveCommand, errand: string, words: string | null = null): boolean {
      if (state.waiting.length >= MOST_WAITING) return false
      set({
        waiting: [...state.waiting, { id: doors.freshId(), command, errand, words, at: doors.wall() }],
      })
      void flush()
      return true
    },
    /** The link is there (again), or the page has just begun: what waits is sent. */
    flush: () => void flush(),
    /** The picture has everything up to this position. */
    seen(cursor: number) {
      if (state.taken.some(t => t.position <= cursor))
        set({ taken: state.taken.filter(t => t.position > cursor) })
    },
    dismiss: (id: string) => set({ refused: state.refused.filter(r => r.tap.id !== id) }),
  }
}

function bodyOf(tap: Tap, wall: number): TapBody {
  const ago = Math.min(LONGEST_AGO_S, Math.max(0, Math.round((wall - tap.at) / 1_000)))
  const words =
    tap.words === null ? {} : tap.command === 'GiveBackErrand' ? { why: tap.words } : { note: tap.words }
  return { errand: tap.errand, ...(ago === 0 ? {} : { agoSeconds: ago }), ...words }
}
