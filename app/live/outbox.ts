import type { PrecinctKind } from '../../server/domain/log/kinds.ts'
import { LIMITS, type Problem, type ReportAnswer, type ReportRequest } from '../../server/protocol/device.ts'
import { checkReport, cut } from './outboxCheck.ts'
import { createRetry } from './outboxRetry.ts'
import type { KeptReport, OutboxStore, OutboxSummary, ReportName } from './outboxStore.ts'

/**
 * What a device said, on its way to the office. Kept true here:
 * - a report is numbered and saved before it is sent (P1), and sent in the order of the numbers, one request
 *   in flight (P5);
 * - it waits until the office answered for it; a lost answer means that it is sent again, unchanged (P2);
 * - what the office had is kept too: an office that was restored from a copy lacks what was said since, and is sent
 *   that again, from the number on that it asks for (P1);
 * - no number is ever passed over: where the office asks for one that is no longer held, sending stops and
 *   `trouble` says so.
 */
export const OUTBOX = {
  /** Reports waiting or refused. A day is some hundreds; at the bound `say` refuses and saves nothing. */
  limit: 5_000,
  batchReports: 200,
  /** JSON bytes of one request, with room for its envelope. */
  batchBytes: LIMITS.batchBytes - 1_024,
  /** The office turned the request away (day closed, not readable): asked again this seldom, in ms. */
  turnedAwayWait: 60_000,
} as const

type OutboxTrouble =
  /** The office asks for a number that this device no longer holds. */
  | { what: 'gap'; wanted: number; holds: number }
  /** This device's storage refused to read or write. */
  | { what: 'storage'; message: string }
  | { what: 'turned-away'; problems: Problem[] }

export type OutboxState = OutboxSummary & {
  /** False until the store was read for the first time. */
  ready: boolean
  sending: boolean
  trouble: OutboxTrouble | null
  /** Wall time of the next attempt, where one is planned. */
  retryAt: number | null
}

export type SayOutcome =
  | { ok: true; number: number }
  | { ok: false; why: 'invalid'; problems: Problem[] }
  | { ok: false; why: 'full'; limit: number }
  | { ok: false; why: 'storage'; message: string }

export type OutboxDeps = {
  store: OutboxStore
  /** Whether there is a link; without it: there may be. */
  linked?(): boolean
  /** Resolves with the office's answer; rejects when there was none (no link, timeout). */
  transport(request: ReportRequest): Promise<ReportAnswer>
  clock: { now(): number; after(ms: number, then: () => void): () => void }
  /** Between 0 and 1. */
  random(): number
  /** Day time as shown now; null: not known. */
  dayNow?(): number | null
  /** Runs alone among all tabs of this device (Web Locks); without it: no other tab. */
  alone?<T>(work: () => Promise<T>): Promise<T>
  /** Called when the office dealt with a request, with its instant (wall). */
  onAcknowledged?(at: number): void
}

export type Outbox = {
  /** Checks, numbers and saves a report; sending follows by itself. `at`: when it was so, wall ms. */
  say(kind: PrecinctKind, body: unknown, at?: number): Promise<SayOutcome>
  /** Says a refused (or left-over) report anew under a new number, at its own time. */
  mend(of: KeptReport, kind: PrecinctKind, body: unknown): Promise<SayOutcome>
  leave(of: ReportName): Promise<void>
  /** Opens the store (numbering goes on after `upTo`) and starts sending. */
  start(upTo: number): Promise<void>
  /** The link is back: send now. */
  wake(): void
  /**
   * The office said by another way up to which number it has everything. Where that is less than it had before, it
   * is asked once more, alone in flight, and then sent again what it lost.
   */
  officeHas(upTo: number): void
  /** Another tab changed the store: read it anew, and send what is due. */
  look(): Promise<void>
  stop(): void
  state(): OutboxState
  subscribe(listener: () => void): () => void
}

export function createOutbox(deps: OutboxDeps): Outbox {
  const { store, clock } = deps
  const alone = deps.alone ?? (work => work())
  const listeners = new Set<() => void>()
  let state: OutboxState = {
    head: { last: 0, upTo: 0 },
    waiting: 0,
    again: 0,
    refused: 0,
    reports: [],
    leftovers: [],
    ready: false,
    sending: false,
    trouble: null,
    retryAt: null,
  }
  let running = false
  let inFlight = false
  let wokenMeanwhile = false
  let mustAsk = false
  const retry = createRetry(clock, deps.random, at => set({ retryAt: at }), pump)

  function set(change: Partial<OutboxState>) {
    state = { ...state, ...change }
    for (const listener of listeners) listener()
  }

  async function refresh() {
    set({ ...(await store.summary()), ready: true })
  }

  function pump() {
    if (!running || retry.isPlanned()) return
    if (inFlight) {
      wokenMeanwhile = true
      return
    }
    inFlight = true
    wokenMeanwhile = false
    alone(round)
      .catch(error => {
        set({ trouble: { what: 'storage', message: messageOf(error) } })
        retry.backOff()
        return 'wait' as const
      })
      .then(next => {
        inFlight = false
        if (state.sending) set({ sending: false })
        if (next === 'more' || (wokenMeanwhile && next === 'empty')) pump()
      })
  }

  /** One request: from the store to the office's answer and back into the store. Rejects if the store does. */
  async function round(): Promise<'more' | 'empty' | 'wait'> {
    if (!running) return 'wait'
    const batch = cut(await store.waiting(OUTBOX.batchReports), OUTBOX.batchBytes)
    // At once: the reports' times are by the clock as it runs now.
    const sentAt = new Date(clock.now()).toISOString()
    if (batch.length === 0 && mustAsk) return askHowFar()
    mustAsk = false
    if (batch.length === 0) {
      await refresh()
      if (state.trouble?.what === 'storage') set({ trouble: null })
      return 'empty'
    }
    if (deps.linked?.() === false) return noAnswer()
    // A disk that is full is no reason to keep it from the office.
    if (batch.some(r => r.stamp)) await store.fix(batch).catch(() => undefined)
    set({ sending: true })
    const numbers = batch.map(r => r.number)
    const answer = await deps
      .transport({
        sentAt,
        reports: batch.map(({ number, at, kind, body }) => ({ number, at, kind, body })),
      })
      .catch(() => null)
    if (!running) return 'wait'
    if (!answer) return noAnswer()
    if (answer.ok) return accept(numbers, answer)
    if (answer.retryAfter !== undefined) {
      retry.in(answer.retryAfter * (1 + deps.random() / 5))
      return 'wait'
    }
    if (answer.next !== undefined) return goBackTo(answer.next, numbers)
    set({ trouble: { what: 'turned-away', problems: answer.problems ?? [] } })
    retry.in(OUTBOX.turnedAwayWait)
    return 'wait'
  }

  function noAnswer(): 'wait' {
    retry.backOff()
    return 'wait'
  }

  /** Asks with an empty list, which changes nothing at the office. */
  async function askHowFar(): Promise<'more' | 'empty' | 'wait'> {
    const sentAt = new Date(clock.now()).toISOString()
    const answer = await deps.transport({ sentAt, reports: [] }).catch(() => null)
    if (!running) return 'wait'
    if (!answer?.ok) return noAnswer()
    mustAsk = false
    await refresh()
    return answer.upTo < state.head.upTo ? goBackTo(answer.upTo + 1, [state.head.last + 1]) : 'empty'
  }

  async function accept(numbers: number[], answer: ReportAnswer & { ok: true }): Promise<'more' | 'wait'> {
    const dealt = numbers.filter(n => n <= answer.upTo)
    await store.settle({ numbers: dealt, upTo: answer.upTo, refused: answer.refused, at: clock.now() })
    deps.onAcknowledged?.(clock.now())
    set({ trouble: null })
    await refresh()
    if (dealt.length > 0) {
      retry.answered()
      return 'more'
    }
    // An answer that deals with nothing would be asked for again without end.
    retry.backOff()
    return 'wait'
  }

  async function goBackTo(wanted: number, sent: number[]): Promise<'more' | 'wait'> {
    const holds = sent[0]!
    if (!(await store.goBack(wanted))) {
      set({ trouble: { what: 'gap', wanted, holds } })
      retry.in(OUTBOX.turnedAwayWait)
      return 'wait'
    }
    await refresh()
    if (wanted < holds) return 'more'
    // It was sent and is asked for all the same: once more, but not at once.
    retry.backOff()
    return 'wait'
  }

  async function save(put: () => Promise<KeptReport | 'full'>): Promise<SayOutcome> {
    let kept: KeptReport | 'full'
    try {
      kept = await put()
    } catch (error) {
      return { ok: false, why: 'storage', message: messageOf(error) }
    }
    if (kept === 'full') return { ok: false, why: 'full', limit: OUTBOX.limit }
    // It is saved, whatever comes now: to call this a failure would have it said twice.
    await refresh().catch(error => set({ trouble: { what: 'storage', message: messageOf(error) } }))
    pump()
    return { ok: true, number: kept.number }
  }

  return {
    async say(kind, body, at) {
      const checked = checkReport(kind, body)
      if (!checked.ok) return { ok: false, why: 'invalid', problems: checked.problems }
      const when = new Date(at ?? clock.now()).toISOString()
      const said = { at: when, kind, body: checked.body, dayAt: deps.dayNow?.() ?? null }
      return save(() => store.add(said, OUTBOX.limit))
    },
    async mend(of, kind, body) {
      const checked = checkReport(kind, body)
      if (!checked.ok) return { ok: false, why: 'invalid', problems: checked.problems }
      const said = { at: of.at, kind, body: checked.body, dayAt: of.dayAt }
      return save(() => store.again({ device: of.device, number: of.number }, said, OUTBOX.limit))
    },
    async leave(of) {
      try {
        await store.leave({ device: of.device, number: of.number })
        await refresh()
      } catch (error) {
        set({ trouble: { what: 'storage', message: messageOf(error) } })
      }
    },
    async start(upTo) {
      running = true
      try {
        await store.open(upTo)
        await refresh()
      } catch (error) {
        set({ trouble: { what: 'storage', message: messageOf(error) } })
      }
      pump()
    },
    wake() {
      retry.cancel()
      retry.answered()
      set({ retryAt: null })
      pump()
    },
    officeHas(upTo) {
      if (!state.ready || upTo >= state.head.upTo) return
      mustAsk = true
      pump()
    },
    async look() {
      await refresh().catch(error => set({ trouble: { what: 'storage', message: messageOf(error) } }))
      pump()
    },
    stop() {
      running = false
      retry.cancel()
    },
    state: () => state,
    subscribe(listener) {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
  }
}

function messageOf(error: unknown): string {
  return error instanceof Error ? `${error.name}: ${error.message}` : String(error)
}
