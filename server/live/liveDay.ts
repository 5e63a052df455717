import type { Person } from '../access/access.ts'
import type { Deciding } from '../commands/decide.ts'
import { callList } from '../domain/day/callList.ts'
import { evolve } from '../domain/day/evolve.ts'
import { initialDay } from '../domain/day/initial.ts'
import type { BoardRow, CallLine } from '../domain/day/row.ts'
import { rowOf } from '../domain/day/rowOf.ts'
import type { DayState, PrecinctState } from '../domain/day/state.ts'
import type { DayLog, Stored } from '../domain/log/dayLog.ts'
import { indexOf, type PlanIndex } from '../domain/plan/brief.ts'
import type { Plan } from '../domain/plan/plan.ts'
import type { LogHead, Patch, Snapshot } from '../protocol/board.ts'
import type { DayClock } from './clock.ts'
import { createEvaluator, type Evaluator, systemEntry } from './evaluator.ts'
import { createHearing, type Hearing } from './hearing.ts'

export type Seen = { calls: CallLine[]; people: Record<string, string> }

/**
 * One running day: the log's tail, folded; judged at every tick; shown to boards as rows.
 *
 * Kept true here: the state is the fold of the log up to `cursor`, in order, nothing else ever writes to it
 * (P4). Nothing is judged or shown before the fold has caught up with the log (P8).
 */
export type LiveDay = {
  day: string
  /** Identity of this log for boards: a cursor of another log is worth nothing here. */
  log(): string
  plan: Plan
  index: PlanIndex
  clock: DayClock
  state(): DayState
  now(): number
  speed(): number
  /** Milliseconds of the day in the last so many of the wall clock. */
  elapsed(agoMs: number): number
  openedAt(): number
  closed(): boolean
  /** Instant of the last look at all precincts that is finished. */
  judgedAt(): number
  heard(precinct: string, at: number): void
  cursor(): number
  head(): LogHead
  /** Hash of one of the last 4,096 entries; null: it is older, or there is none. */
  hashAt(position: number): string | null
  rows(): BoardRow[]
  calls(): CallLine[]
  snapshot(): Snapshot
  /** The call list and the names go along where they are not those that were seen. */
  patchFrom(cursor: number, seen?: Seen): Patch
  /** What a board that had the latest patch has seen. */
  seen(): Seen
  deciding(person: Person, now: number): Omit<Deciding, 'id'>
  /** Precincts whose entries came by another way than their own device, since the last call. */
  takeTold(): string[]
  /** Opens a new day, or goes on with one after our own outage, so that silence is not held against anybody. */
  begin(planHash: string): Promise<void>
  stop(): Promise<void>
}

/** A board further behind than this gets a fresh picture: a patch from there would hold nearly every row anyway. */
const LATE = 4_096

export async function startLiveDay(deps: {
  day: string
  plan: Plan
  log: DayLog
  clock: DayClock
  nameOf(personId: string): string
  peopleAtDesk(): Record<string, string>
  wall(): number
  /** Milliseconds between ticks; shorter where the day runs fast. */
  tickMs(): number
  onChange(): void
  onTrouble(error: unknown): void
  onAssertion(error: unknown): void
  onTick?(ms: number): void
}): Promise<LiveDay> {
  const { day, plan, log, clock } = deps
  const index = indexOf(plan, day)
  const state = initialDay(day, index)
  const rowCache = new WeakMap<PrecinctState, BoardRow>()
  const told = new Set<string>()
  const hearing: Hearing = createHearing(clock.now())
  let head: LogHead = { position: 0, hash: '0'.repeat(64) }
  const lateHashes: string[] = []
  let openedAt = 0
  let firstHash = ''
  let evaluator: Evaluator | null = null
  let calls: CallLine[] = []
  let callsText = '[]'
  let callsAt = { wall: 0, cursor: -1 }

  /**
   * An entry that can't be folded is a fault of this program: going on would show a board that isn't the log's.
   * Nobody here can mend it, so it is told to the composition root, which ends; a restart folds anew (P4).
   */
  function onEntries(entries: Stored[]) {
    try {
      foldIn(entries)
    } catch (error) {
      deps.onAssertion(error)
    }
  }

  function foldIn(entries: Stored[]) {
    for (const { entry, hash } of entries) {
      evolve(state, entry, index)
      if (entry.kind === 'DayOpened') openedAt = entry.recordedAt
      if (entry.position === 1) firstHash = hash.slice(0, 16)
      lateHashes[entry.position % LATE] = hash
      if (entry.precinct !== null) {
        evaluator?.touched(entry.precinct)
        if (entry.origin.via === 'caller' || entry.origin.via === 'paper') told.add(entry.precinct)
      }
    }
    const last = entries[entries.length - 1]
    if (last) head = { position: last.entry.position, hash: last.hash }
    deps.onChange()
  }

  const unfollow = await log.follow(day, 0, onEntries)

  const identity = () => `${day}:${firstHash}`

  const row = (p: PrecinctState): BoardRow => {
    const kept = rowCache.get(p)
    if (kept) return kept
    const made = rowOf(p, index)
    rowCache.set(p, made)
    return made
  }

  /** Lines come back by themselves when their time is over, so the list is looked at once a second anyway. */
  function refreshCalls(): boolean {
    const wall = deps.wall()
    if (callsAt.cursor === state.cursor && wall - callsAt.wall < 1_000) return false
    callsAt = { wall, cursor: state.cursor }
    const list = callList(state, index, clock.now())
    const text = JSON.stringify(list)
    if (text === callsText) return false
    calls = list
    callsText = text
    return true
  }

  const judge = createEvaluator({ day, log, clock, index, state: () => state, hearing, wall: deps.wall })
  evaluator = judge
  let stopped = false
  let timer: NodeJS.Timeout | null = null
  let ticking: Promise<void> = Promise.resolve()
  let trouble: { since: number; at: number } | null = null

  const tick = () => {
    timer = null
    const from = performance.now()
    const judged = state.closed ? Promise.resolve() : judge.tick()
    ticking = judged
      .then(async () => {
        if (trouble && deps.wall() - trouble.since > plan.policy.heartbeat.lateAfterSeconds * 1_000)
          await judge.resumed(trouble.at)
        trouble = null
        deps.onTick?.(performance.now() - from)
        if (refreshCalls()) deps.onChange()
      })
      .catch(error => {
        trouble ??= { since: deps.wall(), at: clock.now() }
        deps.onTrouble(error)
      })
      .finally(() => {
        if (!stopped) timer = setTimeout(tick, deps.tickMs())
      })
  }
  refreshCalls()
  timer = setTimeout(tick, deps.tickMs())

  return {
    day,
    log: identity,
    plan,
    index,
    clock,
    state: () => state,
    now: () => clock.now(),
    speed: () => clock.speed(),
    elapsed: clock.elapsed,
    judgedAt: judge.judgedAt,
    openedAt: () => openedAt,
    closed: () => state.closed,
    heard: hearing.heard,
    cursor: () => state.cursor,
    head: () => head,
    hashAt: position =>
      position < 1 || position > state.cursor || position <= state.cursor - LATE
        ? null
        : (lateHashes[position % LATE] ?? null),
    rows: () => [...state.precincts.values()].map(row),
    calls: () => {
      refreshCalls()
      return calls
    },
    snapshot: () => {
      refreshCalls()
      return {
        log: identity(),
        cursor: state.cursor,
        head,
        now: clock.now(),
        speed: clock.speed(),
        plan: index.brief,
        rows: [...state.precincts.values()].map(row),
        calls,
        errands: [...state.errands.values()],
        people: deps.peopleAtDesk(),
      }
    },
    patchFrom: (cursor, seen) => {
      const people = deps.peopleAtDesk()
      const rows: BoardRow[] = []
      for (const p of state.precincts.values()) if (p.touchedAt > cursor) rows.push(row(p))
      const errands = [...state.errands.values()].filter(e => e.touchedAt > cursor)
      return {
        log: identity(),
        from: cursor,
        to: state.cursor,
        head,
        now: clock.now(),
        speed: clock.speed(),
        rows,
        ...(seen?.calls === calls ? {} : { calls }),
        ...(errands.length === 0 ? {} : { errands }),
        ...(seen?.people === people ? {} : { people }),
      }
    },
    seen: () => ({ calls, people: deps.peopleAtDesk() }),
    deciding: (person, now) => ({
      state,
      index,
      person,
      now,
      elapsed: clock.elapsed,
      nameOf: deps.nameOf,
    }),
    takeTold: () => {
      const list = [...told]
      told.clear()
      return list
    },
    begin: async planHash => {
      if (state.cursor === 0) {
        await log.decide(day, now => ({
          entries: [systemEntry('DayOpened', now, { planHash, kind: plan.kind })],
          result: null,
        }))
        return
      }
      // A practice clock stands still while we are down, so its gap can't be seen: a restart always counts as one.
      const gap = clock.now() - state.recordedAt
      if (plan.kind === 'practice' || gap > plan.policy.heartbeat.lateAfterSeconds * 1_000)
        await judge.resumed(state.recordedAt)
    },
    stop: async () => {
      stopped = true
      if (timer) clearTimeout(timer)
      await ticking
      if (timer) clearTimeout(timer)
      const list = hearing.list(clock.now(), true)
      if (list && !state.closed) {
        await log
          .decide(day, at => ({ entries: [{ ...list, occurredAt: at }], result: null }))
          .catch(deps.onTrouble)
      }
      unfollow()
    },
  }
}
