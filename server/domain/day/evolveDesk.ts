import type { Entry } from '../log/entry.ts'
import type { PlanIndex } from '../plan/brief.ts'
import { fromRfc3339, MINUTE } from '../time.ts'
import { mark } from './evolvePrecinct.ts'
import { helpStands } from './helpWanted.ts'
import { latest } from './stamp.ts'
import type { PrecinctState } from './state.ts'

/**
 * What the desk did about a precinct's line. Returns false where the entry isn't the desk's.
 *
 * | entry | the line after it |
 * |---|---|
 * | CallTaken | taken by who gave the command |
 * | CallHandedOver | taken by whom it went to, or by nobody |
 * | CallDeferred | free, steps back until then |
 * | CallLogged watching | free, steps back until then, or for the policy's while |
 * | CallLogged solved, no-answer | free, steps back for the policy's while |
 * | CallLogged needs-rover, needs-supervisor | free and in its place: somebody has yet to act |
 *
 * Requests for help are answered by a call logged after them as solved or watching; the others leave them standing.
 * A return that differs and a place that moved end by `solved` alone: being watched explains nothing.
 */
export function evolveDesk(p: PrecinctState, entry: Entry, index: PlanIndex): boolean {
  switch (entry.kind) {
    case 'CallTaken':
      p.call = { ...p.call, takenBy: who(entry), takenAt: entry.occurredAt, backUntil: null }
      return true
    case 'CallHandedOver': {
      const takenBy = entry.body.to ?? null
      p.call = { ...p.call, takenBy, takenAt: takenBy === null ? null : entry.occurredAt }
      return true
    }
    case 'CallDeferred':
      p.call = {
        takenBy: null,
        takenAt: null,
        backUntil: fromRfc3339(entry.body.until),
        lastOutcome: 'deferred',
        lastAt: entry.occurredAt,
      }
      return true
    case 'CallLogged': {
      const { outcome } = entry.body
      p.call = {
        takenBy: null,
        takenAt: null,
        backUntil: backUntil(entry, index.plan.policy.stepBackMinutes * MINUTE),
        lastOutcome: outcome,
        lastAt: entry.occurredAt,
      }
      mark(p, { what: 'call', at: entry.occurredAt, position: entry.position })
      if (outcome === 'solved' || outcome === 'watching') {
        p.helpAnsweredAt = latest(p.helpAnsweredAt, entry.occurredAt)
        helpStands(p)
      }
      if (outcome === 'solved') p.solvedAt = Math.max(p.solvedAt, entry.position)
      return true
    }
    // Words about the precinct, shown among its entries; nothing on a row follows from them.
    case 'NoteAdded':
    case 'ReportCorrected':
      return true
    default:
      return false
  }
}

function backUntil(entry: Entry<'CallLogged'>, usual: number): number | null {
  const { outcome, until } = entry.body
  if (outcome === 'watching' && until !== undefined) return fromRfc3339(until)
  if (outcome === 'needs-rover' || outcome === 'needs-supervisor') return null
  return entry.occurredAt + usual
}

function who(entry: Entry): string {
  return entry.origin.wrote ?? entry.source
}
