import { type BoardDoors, makeBoardStore } from '../../app/live/boardStore.ts'
import { type BoardLink, freshId, type SendCommand } from '../../app/live/socket.ts'
import type { BoardRow, CallLine } from '../../server/domain/day/row.ts'
import type { CallState, Reason } from '../../server/domain/day/state.ts'
import { briefOf } from '../../server/domain/plan/brief.ts'
import { MINUTE } from '../../server/domain/time.ts'
import type { Patch, Snapshot, SubscribeAnswer } from '../../server/protocol/board.ts'
import type { CommandAnswer } from '../../server/protocol/command.ts'
import { aPlan, DAY } from './aPlan.ts'

/** Pictures of the small invented day as a board gets them. */

export const BRIEF = briefOf(DAY, aPlan())
/** An instant of the invented day: `at(9, 41)`. */
export const at = (hour: number, minute = 0) => BRIEF.midnight + (hour * 60 + minute) * MINUTE
export const NOBODY: CallState = {
  takenBy: null,
  takenAt: null,
  backUntil: null,
  lastOutcome: null,
  lastAt: null,
}

export function aRow(code: string, changes: Partial<BoardRow> = {}): BoardRow {
  return {
    code,
    standing: 'open',
    heardAt: at(9, 40),
    silentSince: null,
    openedAt: at(6, 30),
    closedAt: null,
    suspended: false,
    opening: { done: 6, of: 6, next: null },
    closing: { done: 0, of: 2 },
    team: { present: 8, missing: 0, asOf: at(5, 40) },
    tape: 'verified',
    checkedIn: { is: 240, asOf: at(9, 30) },
    expectedThen: 200,
    publicCount: null,
    inLine: null,
    inSlot: null,
    ballotsLeft: null,
    spoiled: null,
    provisional: null,
    curbside: null,
    slotOpen: false,
    down: [],
    device: null,
    strip: { setUpFrom: at(5, 30), notches: [at(5, 40), at(6, 0)], bars: [], spans: [], marks: [] },
    reasons: [],
    call: NOBODY,
    departedAt: null,
    receivedAt: null,
    touchedAt: 10,
    ...changes,
  }
}

export function aReason(precinct: string, changes: Partial<Reason> = {}): Reason {
  return {
    key: `tabulator-down:${precinct}`,
    rule: 'tabulator-down',
    tier: 'now',
    precinct,
    since: at(9, 12),
    raisedAt: at(9, 13),
    figuresAt: at(9, 13),
    voterMinutes: 44,
    evidence: { tabulator: 'T-01', downAt: at(9, 12), slotOpen: true },
    ...changes,
  }
}

export function aLine(precinct: string, changes: Partial<CallLine> = {}): CallLine {
  const reasons = changes.reasons ?? [aReason(precinct)]
  return {
    key: precinct,
    precincts: [precinct],
    tier: reasons[0]!.tier,
    voterMinutes: 1_310,
    since: reasons[0]!.since,
    reasons,
    call: NOBODY,
    steppedBack: false,
    ...changes,
  }
}

const HASH = 'a'.repeat(64)

export function aSnapshot(changes: Partial<Snapshot> = {}): Snapshot {
  const cursor = changes.cursor ?? 100
  return {
    log: 'log-1',
    cursor,
    head: { position: cursor, hash: HASH },
    now: at(9, 41),
    speed: 1,
    plan: BRIEF,
    rows: BRIEF.precincts.map(p => aRow(p.code)),
    calls: [],
    errands: [],
    notices: [],
    people: { ana: 'Ana', imre: 'Imre' },
    forecasts: null,
    ...changes,
  }
}

export function aPatch(from: number, to: number, changes: Partial<Patch> = {}): Patch {
  return {
    log: 'log-1',
    from,
    to,
    head: { position: to, hash: HASH },
    now: at(9, 42),
    speed: 1,
    rows: [],
    ...changes,
  }
}

/** A store whose server is the test: every request waits in `asked` until it is answered or failed. */
export function aStore() {
  const asked: Array<{
    request: Parameters<BoardDoors['subscribe']>[0]
    answer(a: SubscribeAnswer): Promise<void>
    fail(): Promise<void>
  }> = []
  const timers: Array<{ milliseconds: number; what: () => void }> = []
  const wall = { now: 1_000_000 }
  const settle = () => new Promise<void>(done => setTimeout(done))
  const store = makeBoardStore({
    day: DAY,
    wall: () => wall.now,
    later: (milliseconds, what) => timers.push({ milliseconds, what }),
    subscribe: request =>
      new Promise((resolve, reject) =>
        asked.push({
          request,
          answer: a => {
            resolve(a)
            return settle()
          },
          fail: () => {
            reject(new Error('no answer'))
            return settle()
          },
        }),
      ),
  })
  return { store, asked, timers, wall }
}

/** A link whose board shows `snapshot` and whose commands are answered by `answer`. */
export async function aLink(snapshot: Snapshot, answer: (kind: string, body: unknown) => CommandAnswer) {
  const { store, asked, wall } = aStore()
  wall.now = Date.now()
  store.connected()
  await asked[0]!.answer({ ok: true, snapshot })
  const sent: Array<{ kind: string; body: unknown; id: string }> = []
  const send: SendCommand = async (kind, body, id = freshId()) => {
    sent.push({ kind, body, id })
    return answer(kind, body)
  }
  const link: BoardLink = { store, send, end: () => undefined }
  return { link, sent, store }
}
