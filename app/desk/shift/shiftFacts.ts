import { isOpenErrand } from '../../../server/domain/day/errand.ts'
import type { BoardRow, CallLine } from '../../../server/domain/day/row.ts'
import type { CallState, Errand, Reason } from '../../../server/domain/day/state.ts'
import { compareTiers } from '../../../server/domain/day/tiers.ts'
import type { PlanBrief } from '../../../server/domain/plan/brief.ts'
import type { BoardState } from '../../live/boardStore.ts'

/** A matter in somebody's hands, or put aside: a line of the call list, or a precinct with no reason any more. */
export type Matter = {
  key: string
  precincts: readonly string[]
  reasons: readonly Reason[]
  call: CallState
}

export type ShiftFacts = {
  /** Taken, longest held first. */
  held: Matter[]
  /** Stop and now, which nobody holds and nobody put aside; gravest first. */
  free: CallLine[]
  /** Watched or put off, by when they come back. */
  aside: Matter[]
  /** Not ended, in the order of their sending. */
  errands: Errand[]
  /** Left and not received, longest out first. */
  out: BoardRow[]
  notLeft: number
  received: number
}

/** What the next shift must know, from one picture of the board. */
export function shiftFacts(
  state: Pick<BoardState, 'calls' | 'errands' | 'rows'>,
  plan: Pick<PlanBrief, 'precincts'>,
  now: number,
): ShiftFacts {
  const rows = plan.precincts.flatMap(p => state.rows.get(p.code) ?? [])
  const matters = (suits: (call: CallState) => boolean): Matter[] => {
    const lines = state.calls.filter(line => line.precincts.length > 0 && suits(line.call))
    const told = new Set(lines.flatMap(line => line.precincts))
    const others = rows.filter(row => suits(row.call) && !told.has(row.code))
    return [
      ...lines,
      ...others.map(row => ({
        key: row.code,
        precincts: [row.code],
        reasons: row.reasons,
        call: row.call,
      })),
    ]
  }
  const back = (call: CallState) => call.backUntil ?? 0
  return {
    held: matters(call => call.takenBy !== null).sort(
      (a, b) => (a.call.takenAt ?? 0) - (b.call.takenAt ?? 0),
    ),
    free: state.calls
      .filter(line => (line.tier === 'stop' || line.tier === 'now') && !line.steppedBack)
      .filter(line => line.call.takenBy === null)
      .sort((a, b) => compareTiers(a.tier, b.tier)),
    aside: matters(call => call.takenBy === null && back(call) > now).sort(
      (a, b) => back(a.call) - back(b.call),
    ),
    errands: state.errands.filter(isOpenErrand),
    out: rows
      .filter(row => row.departedAt !== null && row.receivedAt === null)
      .sort((a, b) => a.departedAt! - b.departedAt!),
    notLeft: rows.filter(row => row.departedAt === null && row.receivedAt === null).length,
    received: rows.filter(row => row.receivedAt !== null).length,
  }
}

/** Precincts whose calls a person holds. */
export function heldBy(person: string, rows: Iterable<BoardRow>): string[] {
  const codes: string[] = []
  for (const row of rows) if (row.call.takenBy === person) codes.push(row.code)
  return codes
}
