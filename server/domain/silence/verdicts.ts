import type { DayState, PrecinctState } from '../day/state.ts'
import type { Draft } from '../log/entry.ts'
import { kinds } from '../log/kinds.ts'
import type { PlanIndex } from '../plan/brief.ts'
import type { Instant } from '../time.ts'
import { SECOND, toRfc3339 } from '../time.ts'
import { heardToday, silentAt } from './silence.ts'

/**
 * What is to be recorded about silence: each fall once, at its predicted instant, and each return once, at the
 * instant of the hearing. Applied to the state and asked again, it gives nothing (P6).
 * @param only the precincts to look at; absent: all
 */
export function silenceVerdicts(
  state: DayState,
  index: PlanIndex,
  now: Instant,
  only?: Iterable<string>,
): Draft[] {
  const drafts: Draft[] = []
  for (const code of only ?? state.precincts.keys()) {
    const p = state.precincts.get(code)
    if (p) judge(p, state.graceUntil, index, now, drafts)
  }
  return drafts
}

function judge(p: PrecinctState, graceUntil: Instant, index: PlanIndex, now: Instant, drafts: Draft[]): void {
  let silent = p.silentSince !== null
  if (p.silentSince !== null) {
    // A new grace doesn't undo a record: only a hearing does, or that silence is no longer asked.
    const deadline = silentAt(p, index, 0)
    if (deadline === null || deadline > p.silentSince) {
      const back = deadline === null ? now : heardToday(p, index)!
      drafts.push(heardAgain(p.code, p.silentSince, Math.max(back, p.silentSince)))
      silent = false
    }
  }
  if (silent) return
  const at = silentAt(p, index, graceUntil)
  if (at !== null && now >= at) drafts.push(fellSilent(p.code, heardToday(p, index)!, at))
}

function fellSilent(precinct: string, heardAt: Instant, at: Instant): Draft {
  return {
    kind: 'PrecinctFellSilent',
    version: kinds.PrecinctFellSilent.version,
    precinct,
    source: 'system',
    number: null,
    occurredAt: at,
    origin: { via: 'system' },
    body: { heardAt: toRfc3339(heardAt), silentAt: toRfc3339(at) },
  }
}

function heardAgain(precinct: string, since: Instant, at: Instant): Draft {
  return {
    kind: 'PrecinctHeardAgain',
    version: kinds.PrecinctHeardAgain.version,
    precinct,
    source: 'system',
    number: null,
    occurredAt: at,
    origin: { via: 'system' },
    body: { silentSeconds: Math.round((at - since) / SECOND) },
  }
}
