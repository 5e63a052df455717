import type { Person } from '../access/access.ts'
import type { Deciding } from '../commands/decide.ts'
import { callList, callsHoldUntil } from '../domain/day/callList.ts'
import { evolve } from '../domain/day/evolve.ts'
import { initialDay } from '../domain/day/initial.ts'
import type { BoardRow, CallLine } from '../domain/day/row.ts'
import type { DayState } from '../domain/day/state.ts'
import type { DayLog, Stored } from '../domain/log/dayLog.ts'
import { indexOf, type PlanIndex } from '../domain/plan/brief.ts'
import type { Plan } from '../domain/plan/plan.ts'
import type { LogHead, Patch, Snapshot } from '../protocol/board.ts'
import type { DayClock } from './clock.ts'
import { createEvaluator, type Evaluator, systemEntry } from './evaluator.ts'
import { createHearing, type Hearing } from './hearing.ts'
import { logIdentity, rowsOf, snapshotOf } from './snapshotOf.ts'

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
  /** It takes nothing any more. */
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
  /**
   * Opens a new day, or goes on with one after our own outage, so that silence is not held against anybody. Only
   * then is the day judged: a verdict before it would blame our outage on the precincts (P8).
   */
  begin(planHash: string): Promise<void>
  /** Before its end is written: reports and commands are refused, and what was under way is in the log. */
  seal(): Promise<void>
  /** The end could not be written: it goes on. */
  unseal(): void
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
  const row = rowsOf(index)
  const told = new Set<string>()
  const hearing: Hearing = createHearing(clock.now())
  let head: LogHead = { position: 0, hash: '0'.repeat(64) }
  const lateHashes: string[] = []
  let openedAt = 0
  let firstHash = ''
  let evaluator: Evaluator | null = null
  let calls: CallLine[] = []
  let callsText = '[]'
  let callsAt = { cursor: -1, until: Number.NEGATIVE_INFINITY }

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
      if (entry.position === 1) firstHash = hash
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

  const identity = () => logIdentity(day, firstHash)

  /** The list changes with an entry, or where a line's time of stepping back is over. */
  function refreshCalls(): boolean {
    const now = clock.now()
    if (callsAt.cursor === state.cursor && now < callsAt.until) return false
    callsAt = { cursor: state.cursor, until: callsHoldUntil(state, now) }
    const list = callList(state, index, now)
    const text = JSON.stringify(list)
    if (text === callsText) return false
    calls = list
    callsText = text
    return true
  }

  const judge = createEvaluator({ day, log, clock, index, state: () => state, hearing, wall: deps.wall })
  evaluator = judge
  let stopped = false
  let sealed = false
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
        if (!stopped && !sealed) timer = setTimeout(tick, deps.tickMs())
      })
  }
  refreshCalls()

  async function stopJudging() {
    if (timer) clearTimeout(timer)
    await ticking
    if (timer) clearTimeout(timer)
    const list = hearing.list(clock.now(), true)
    if (!list || state.closed) return
    await log
      .decide(day, at => ({ entries: [{ ...list, occurredAt: at }], result: null }))
      .catch(deps.onTrouble)
  }

  /** The day's first entry, or that our own outage is over: before anything is judged (P8). */
  async function opened(planHash: string) {
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
  }

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
    closed: () => state.closed || sealed,
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
      return snapshotOf({
        state,
        index,
        rows: row,
        log: identity(),
        head,
        now: clock.now(),
        speed: clock.speed(),
        people: deps.peopleAtDesk(),
        calls,
      })
    },
    patchFrom: (cursor, seen) => {
      refreshCalls()
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
      await opened(planHash)
      // A closed day isn't judged, and its list doesn't change.
      if (!stopped && !state.closed) timer = setTimeout(tick, deps.tickMs())
    },
    seal: async () => {
      sealed = true
      await stopJudging()
      // What waited to be written before stands before what comes after this.
      await log.decide(day, () => ({ entries: [], result: null }))
    },
    unseal: () => {
      sealed = false
      timer = setTimeout(tick, deps.tickMs())
    },
    stop: async () => {
      stopped = true
      await stopJudging()
      unfollow()
    },
  }
}
