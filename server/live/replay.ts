import type { ForecastBase } from '../domain/day/state.ts'
import { type DayLogReader, LogDamaged, type Stored } from '../domain/log/dayLog.ts'
import { indexOf, type PlanIndex } from '../domain/plan/brief.ts'
import type { Plan } from '../domain/plan/plan.ts'
import { hhmmOf } from '../domain/plan/zone.ts'
import { type Folded, type Lane, makeLane } from '../domain/review/lane.ts'
import { makeTimeline, type Timeline } from '../domain/review/timeline.ts'
import type { Instant } from '../domain/time.ts'
import type { Snapshot } from '../protocol/board.ts'
import type { DayMarks, View } from '../protocol/review.ts'
import { marksOf } from './marksOf.ts'
import { logIdentity, type Rows, rowsOf, snapshotOf } from './snapshotOf.ts'

/**
 * The replay of any day, running or not: the same fold over a beginning of the same log, drawn by the same
 * function as the live board (P12). It reads the log and nothing else.
 *
 * Bounded: DAYS_KEPT days, the one asked for least recently goes; of each its resting places (domain/review/lane)
 * and the last few pictures. Requests of one day come one after another, WAITING of them at most; the same
 * question while it is being answered is the same answer. The log is read in pages, between which others run.
 */
export type Replay = {
  picture(day: string, asked: Asked): Promise<Answered<Snapshot>>
  marks(day: string): Promise<Answered<DayMarks>>
  /** The plan's lookup of any day that is kept, and how many of its entries were recorded by an instant. */
  until(day: string, at: Instant): Promise<Answered<{ index: PlanIndex; position: number }>>
  /** What the forecasts that stood at a position were made from; null: there were none yet. */
  baseAt(day: string, position: number): Promise<Answered<Based>>
}

type Based = { index: PlanIndex; base: ForecastBase | null }

type Asked = { view: View; at?: Instant | undefined; position?: number | undefined }

export type Answered<T> =
  | { ok: true; value: T }
  | { ok: false; is: 'unknown' | 'invalid' | 'busy'; path: string; message: string }

export type ReplayDeps = {
  log: DayLogReader
  /** The plan that a day was opened with; null: there is no such day. */
  planOf(day: string): Promise<Plan | null>
  /** Day time of a day that runs; null: it doesn't, so its last entry is its end. */
  nowOf(day: string): Instant | null
  people(): Record<string, string>
}

const DAYS_KEPT = 2
const WAITING = 24
const PICTURES_KEPT = 8
const PAGE = 1_000

type Kept = {
  day: string
  index: PlanIndex
  rows: Rows
  timeline: Timeline
  known: Lane
  happened: Lane
  firstHash: string
  queue: Promise<unknown>
  waiting: number
  underWay: Map<string, Promise<Answered<Snapshot>>>
  pictures: Map<string, Snapshot>
}

export function createReplay(deps: ReplayDeps): Replay {
  const days = new Map<string, Promise<Kept | null>>()

  async function open(day: string): Promise<Kept | null> {
    const plan = await deps.planOf(day)
    if (!plan) return null
    const index = indexOf(plan, day)
    return {
      day,
      index,
      rows: rowsOf(index),
      timeline: makeTimeline(),
      known: makeLane(day, index, { verdicts: true }),
      happened: makeLane(day, index, { verdicts: false }),
      firstHash: '',
      queue: Promise.resolve(),
      waiting: 0,
      underWay: new Map(),
      pictures: new Map(),
    }
  }

  /** The day with what is kept of it; asked for last stands last. */
  async function keptOf(day: string): Promise<Kept | null> {
    const there = days.get(day) ?? open(day)
    days.delete(day)
    days.set(day, there)
    try {
      const kept = await there
      if (kept === null) days.delete(day)
      else for (const oldest of [...days.keys()].slice(0, -DAYS_KEPT)) days.delete(oldest)
      return kept
    } catch (error) {
      days.delete(day)
      throw error
    }
  }

  /** Entries of (after, until], page by page. */
  async function eachEntry(day: string, after: number, until: number, use: (stored: Stored) => void) {
    for (let at = after; at < until; ) {
      const page = await deps.log.read(day, at, Math.min(PAGE, until - at))
      for (const stored of page) {
        if (stored.entry.position !== at + 1) throw new LogDamaged(day, at + 1)
        use(stored)
        at += 1
      }
      if (page.length === 0) throw new LogDamaged(day, at + 1)
    }
  }

  async function catchUp(kept: Kept) {
    const head = await deps.log.head(kept.day)
    await eachEntry(kept.day, kept.known.reached(), head.position, ({ entry, hash }) => {
      if (entry.position === 1) kept.firstHash = hash
      kept.timeline.add(entry)
      kept.known.add(entry, hash)
    })
  }

  async function foldTo(kept: Kept, lane: Lane, position: number): Promise<Folded> {
    const folded = lane.before(position)
    await eachEntry(kept.day, folded.position, position, ({ entry, hash }) => lane.step(folded, entry, hash))
    return folded
  }

  /** Folds entries at single positions, reading those that lie near each other in one page. */
  async function foldLate(kept: Kept, folded: Folded, late: readonly number[]) {
    for (let i = 0; i < late.length; ) {
      const from = late[i]!
      let end = i
      while (end < late.length && late[end]! - from < PAGE) end++
      const wanted = new Set(late.slice(i, end))
      await eachEntry(kept.day, from - 1, late[end - 1]!, ({ entry, hash }) => {
        if (wanted.has(entry.position)) kept.happened.step(folded, entry, hash)
      })
      i = end
    }
  }

  async function stateAt(kept: Kept, view: View, at: Instant, position: number): Promise<Folded> {
    if (view === 'known') {
      const folded = await foldTo(kept, kept.known, position)
      kept.known.remember(folded)
      return folded
    }
    await eachEntry(kept.day, kept.happened.reached(), kept.timeline.length(), ({ entry, hash }) =>
      kept.happened.add(entry, hash),
    )
    const { first, late } = kept.timeline.happenedBy(at)
    const folded = await foldTo(kept, kept.happened, first)
    await foldLate(kept, folded, late)
    // What was so is told by the whole log that there is.
    return { ...folded, position: kept.timeline.length(), hash: kept.happened.hash() }
  }

  /** The instant and the position that are asked for, or what is wrong with the question. */
  function settle(kept: Kept, asked: Asked): Answered<{ at: Instant; position: number }> {
    const { timeline, index } = kept
    const length = timeline.length()
    if (length === 0) return refused('unknown', 'day', 'Nothing is recorded of this day yet.')
    if (asked.position !== undefined) {
      if (asked.position > length)
        return refused('invalid', 'position', `The log reaches up to entry ${length}.`)
      return {
        ok: true,
        value: { at: timeline.recordedAt(asked.position), position: asked.position },
      }
    }
    const first = timeline.recordedAt(1)
    const last = timeline.recordedAt(length)
    const now = deps.nowOf(kept.day)
    const end = now === null ? last : Math.max(now, last)
    const wished = asked.at ?? end
    if (now !== null && wished > end)
      return refused(
        'invalid',
        'at',
        `That instant has not come yet: it is ${hhmmOf(end, index.brief.timeZone)} of the day.`,
      )
    const at = Math.min(end, Math.max(first, wished))
    return { ok: true, value: { at, position: timeline.knownBy(at) } }
  }

  async function picture(kept: Kept, asked: Asked): Promise<Answered<Snapshot>> {
    await catchUp(kept)
    const settled = settle(kept, asked)
    if (!settled.ok) return settled
    const { at, position } = settled.value
    // More entries change what had happened by an instant, and never what was known.
    const key = `${asked.view} ${at} ${asked.view === 'known' ? position : kept.timeline.length()}`
    let made = kept.pictures.get(key)
    if (!made) {
      const { state, position: at_, hash } = await stateAt(kept, asked.view, at, position)
      made = snapshotOf({
        state,
        index: kept.index,
        rows: kept.rows,
        log: logIdentity(kept.day, kept.firstHash),
        head: { position: at_, hash },
        now: at,
        speed: 0,
        people: deps.people(),
      })
      kept.pictures.set(key, made)
      for (const oldest of [...kept.pictures.keys()].slice(0, -PICTURES_KEPT)) kept.pictures.delete(oldest)
    }
    return { ok: true, value: made }
  }

  /** One after another; what fails is told to whoever asked and holds up nobody. */
  function inTurn<T>(kept: Kept, what: () => Promise<Answered<T>>): Promise<Answered<T>> {
    if (kept.waiting >= WAITING)
      return Promise.resolve(
        refused('busy', '', 'Too many are asking for pictures of this day: ask again in a moment.'),
      )
    kept.waiting += 1
    const turn = kept.queue.then(what)
    kept.queue = turn
      .catch(() => {})
      .then(() => {
        kept.waiting -= 1
      })
    return turn
  }

  async function withDay<T>(day: string, use: (kept: Kept) => Promise<Answered<T>>): Promise<Answered<T>> {
    const kept = await keptOf(day)
    if (!kept) return refused('unknown', 'day', 'There is no such day.')
    const answer = await use(kept)
    // A day that was not begun may still be given another plan.
    if (kept.timeline.length() === 0) days.delete(day)
    return answer
  }

  return {
    picture: (day, asked) =>
      withDay(day, kept => {
        const question = JSON.stringify([asked.view, asked.at, asked.position])
        const same = kept.underWay.get(question)
        if (same) return same
        const answer = inTurn(kept, () => picture(kept, asked)).finally(() => kept.underWay.delete(question))
        kept.underWay.set(question, answer)
        return answer
      }),
    marks: day =>
      withDay(day, kept =>
        inTurn<DayMarks>(kept, async () => {
          await catchUp(kept)
          const settled = settle(kept, { view: 'known' })
          return settled.ok
            ? { ok: true, value: marksOf(day, kept, settled.value.at, deps.nowOf(day) !== null) }
            : settled
        }),
      ),
    until: (day, at) =>
      withDay(day, kept =>
        inTurn(kept, async () => {
          await catchUp(kept)
          return { ok: true, value: { index: kept.index, position: kept.timeline.knownBy(at) } }
        }),
      ),
    baseAt: (day, position) =>
      withDay(day, kept =>
        inTurn<Based>(kept, async () => {
          await catchUp(kept)
          const settled = settle(kept, { view: 'known', position })
          if (!settled.ok) return settled
          const { state } = await stateAt(kept, 'known', settled.value.at, position)
          return { ok: true, value: { index: kept.index, base: state.forecastBase } }
        }),
      ),
  }
}

function refused(is: 'unknown' | 'invalid' | 'busy', path: string, message: string) {
  return { ok: false as const, is, path, message }
}
