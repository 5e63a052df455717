import { own } from '../day/bounded.ts'
import type { PrecinctState } from '../day/state.ts'
import { tabulatorsNow } from '../day/steps.ts'
import type { PlannedIn } from '../plan/brief.ts'
import type { Instant } from '../time.ts'

/** Kind of a piece of equipment; one that took another's place, and isn't planned itself, is of the other's kind. */
export function kindOf(p: PrecinctState, at: PlannedIn, tag: string): string | null {
  const planned = at.equipment.get(tag)
  if (planned) return planned.kind
  for (const old in p.replaced) if (p.replaced[old] === tag) return at.equipment.get(old)?.kind ?? null
  return null
}

export function isDown(p: PrecinctState, tag: string): boolean {
  return own(p.down, tag)?.is.down === true && own(p.replaced, tag) === undefined
}

/** Whether a tabulator is out of use: down, or its opening tape rejected and not verified since. */
export function isOutOfUse(p: PrecinctState, tag: string): boolean {
  return isDown(p, tag) || own(p.tapes, tag)?.is.is === 'rejected'
}

/** Whether another tabulator than this takes ballots. */
export function anotherInUse(p: PrecinctState, at: PlannedIn, tag: string): boolean {
  return tabulatorsNow(p, at).some(other => other !== tag && !isOutOfUse(p, other))
}

/**
 * Since when a piece that isn't down has been working again: the first word that said so after it was last said
 * to be down; 0 where it was never down.
 */
export function worksSince(p: PrecinctState, tag: string): Instant {
  let since = 0
  for (let i = p.changes.length - 1; i >= 0; i--) {
    const change = p.changes[i]!
    if (change.what === 'listed') {
      if (change.down?.includes(tag)) return since
    } else if (change.equipment !== tag) continue
    else if (change.what === 'down') return since
    since = change.asOf
  }
  return 0
}
