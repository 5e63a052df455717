/**
 * Which picture to ask for while a slider is dragged. It knows no clock and no network: both are given.
 *
 * Kept true here: one question at a time and at most one every PACE_MS; the latest wish wins, wishes in between
 * are never asked; an answer is shown unless the wish has become one of another kind (another day or view), and
 * never after a newer one.
 */
export type AskingDoors<Wish, Answer> = {
  ask(wish: Wish): Promise<Answer>
  show(answer: Answer, wish: Wish): void
  failed(error: unknown, wish: Wish): void
  /** Whether an answer to the one still serves whoever wishes the other by now. */
  serves(asked: Wish, wished: Wish): boolean
  /** Wall time, milliseconds. */
  wall(): number
  later(milliseconds: number, what: () => void): void
}

/** Five pictures a second. */
export const PACE_MS = 200

export function makeAsking<Wish, Answer>(doors: AskingDoors<Wish, Answer>) {
  let wished: { wish: Wish } | null = null
  let asking = false
  let waiting = false
  let askedAt = Number.NEGATIVE_INFINITY
  let ended = false

  function next() {
    if (ended || asking || waiting || wished === null) return
    const wait = askedAt + PACE_MS - doors.wall()
    if (wait > 0) {
      waiting = true
      doors.later(wait, () => {
        waiting = false
        next()
      })
      return
    }
    const { wish } = wished
    wished = null
    asking = true
    askedAt = doors.wall()
    doors.ask(wish).then(
      answer => done(wish, () => doors.show(answer, wish)),
      error => done(wish, () => doors.failed(error, wish)),
    )
  }

  function done(asked: Wish, tell: () => void) {
    asking = false
    if (!ended && (wished === null || doors.serves(asked, wished.wish))) tell()
    next()
  }

  return {
    wish(wish: Wish) {
      wished = { wish }
      next()
    },
    /** Something is asked for, or about to be. */
    busy: () => asking || wished !== null,
    end() {
      ended = true
    },
  }
}
