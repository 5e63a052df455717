import { nothingPending, type Pending, verdicts } from '../../../server/domain/calls/verdicts.ts'
import { evolve } from '../../../server/domain/day/evolve.ts'
import type { Forecasts } from '../../../server/domain/forecast/forecast.ts'
import type { Draft, Entry } from '../../../server/domain/log/entry.ts'
import type { Instant } from '../../../server/domain/time.ts'
import { at, type Given } from '../../support/given.ts'

/** The running day's judging without the running: what is judged is folded in, as its log would have it. */
export type Judged = {
  /** Judges at a time (HH:MM, HH:MM:SS, or an instant) and folds what came of it. */
  at(time: string | Instant, only?: string[], forecasts?: Forecasts): Draft[]
  /** Keys of the reasons that stand at a precinct, or in the county. */
  stands(precinct: string | null): string[]
  pending(): Pending
}

export function judging(day: Given): Judged {
  let pending = nothingPending()
  return {
    at(time, only, forecasts) {
      const now = typeof time === 'string' ? at(time) : time
      const judged = verdicts(day.state, day.index, now, pending, only, forecasts)
      pending = judged.pending
      write(day, judged.drafts, now)
      return judged.drafts
    },
    stands: precinct => Object.keys(precinct === null ? day.state.reasons : day.p(precinct).reasons).sort(),
    pending: () => pending,
  }
}

/** Drafts folded into the day as entries recorded now. */
export function write(day: Given, drafts: readonly Draft[], now: Instant): void {
  for (const draft of drafts) {
    const entry = { ...draft, position: day.state.cursor + 1, recordedAt: now } as Entry
    evolve(day.state, entry, day.index)
  }
}

/** More is said: folded in after what is there. */
export function more(
  day: Given,
  ...said: Array<Omit<Entry, 'position' | 'number'> & { number?: number | null }>
): void {
  for (const s of said) {
    const position = day.state.cursor + 1
    evolve(day.state, { ...s, number: s.number ?? position, position } as Entry, day.index)
  }
}

/** Rules raised among drafts, as `rule@ISO instant of occurring`; of one rule where it is named. */
export function raisedIn(drafts: readonly Draft[], rule?: string): Array<{ key: string; at: Instant }> {
  const raised: Array<{ key: string; at: Instant }> = []
  for (const d of drafts)
    if (d.kind === 'ReasonRaised' && (!rule || d.body.rule === rule))
      raised.push({ key: d.body.key, at: d.occurredAt })
  return raised
}

export function endedIn(drafts: readonly Draft[]): Array<{ key: string; at: Instant }> {
  const ended: Array<{ key: string; at: Instant }> = []
  for (const d of drafts) if (d.kind === 'ReasonEnded') ended.push({ key: d.body.key, at: d.occurredAt })
  return ended
}
