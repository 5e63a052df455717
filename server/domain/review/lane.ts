import { evolve } from '../day/evolve.ts'
import { isVerdict } from '../day/fold.ts'
import { initialDay } from '../day/initial.ts'
import type { DayState } from '../day/state.ts'
import type { Entry } from '../log/entry.ts'
import type { PlanIndex } from '../plan/brief.ts'

/** The day folded up to a position, and the hash of the entry there. Whoever has it may go on folding into it. */
export type Folded = { position: number; hash: string; state: DayState }

/**
 * One fold over a whole log with resting places on the way, so that a jump to any position folds a few thousand
 * entries at most and not the day. A resting place is a shallow copy: the records in a state never change.
 *
 * Bounded: a resting place every `every` entries; where there would be more than `most`, each second one goes
 * and `every` doubles.
 */
export type Lane = {
  /** The furthest position folded so far; 0: none. */
  reached(): number
  /** Hash of the entry there. */
  hash(): string
  /** The next entry of the log. */
  add(entry: Entry, hash: string): void
  /** A copy of the furthest state kept at or before a position. */
  before(position: number): Folded
  /** A state that was just asked for: the next one asked for is likely near it. */
  remember(folded: Folded): void
  /** Folds one more entry into a copy. */
  step(folded: Folded, entry: Entry, hash: string): void
  places(): number
}

export type LaneOptions = {
  /** Whether verdicts of the system are folded (as known) or passed over (as happened). */
  verdicts: boolean
  every?: number
  most?: number
}

const EVERY = 2_000
const MOST = 200
/** Precinct records that a lane's resting places may hold between them, as a bound on memory. */
const RECORDS_HELD = 20_000
const FEWEST = 20
const REMEMBERED = 4

export function makeLane(day: string, index: PlanIndex, options: LaneOptions): Lane {
  let every = options.every ?? EVERY
  const most =
    options.most ??
    Math.min(MOST, Math.max(FEWEST, Math.floor(RECORDS_HELD / Math.max(1, index.plan.precincts.length))))
  const tip: Folded = { position: 0, hash: '0'.repeat(64), state: initialDay(day, index) }
  let places: Folded[] = [copyOf(tip)]
  const recent: Folded[] = []

  function step(folded: Folded, entry: Entry, hash: string) {
    if (options.verdicts || !isVerdict(entry)) evolve(folded.state, entry, index)
    folded.position = entry.position
    folded.hash = hash
  }

  return {
    reached: () => tip.position,
    hash: () => tip.hash,
    add(entry, hash) {
      step(tip, entry, hash)
      if (tip.position % every !== 0) return
      places.push(copyOf(tip))
      if (places.length <= most) return
      every *= 2
      places = places.filter(place => place.position % every === 0)
    },
    before(position) {
      let best = places[0]!
      for (const place of [...places, ...recent, tip])
        if (place.position <= position && place.position > best.position) best = place
      return copyOf(best)
    },
    remember(folded) {
      recent.push(folded)
      if (recent.length > REMEMBERED) recent.shift()
    },
    step,
    places: () => places.length,
  }
}

function copyOf({ position, hash, state }: Folded): Folded {
  return { position, hash, state: { ...state, precincts: new Map(state.precincts) } }
}
