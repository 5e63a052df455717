import type { BoardRow, Figure } from '../day/row.ts'

/** What of a precinct was not known then, or was taken for something else. */
export type Difference = { code: string; what: readonly DifferentField[] }
type DifferentField = keyof typeof differentFields

/** Fields of a row that tell what was so at the precinct; of a figure both the number and its instant count. */
const differentFields = {
  standing: row => row.standing,
  opened: row => row.openedAt,
  closed: row => row.closedAt,
  suspended: row => row.suspended,
  steps: row => row.opening.done + row.closing.done,
  team: row => (row.team ? `${row.team.present} ${row.team.missing} ${row.team.asOf}` : null),
  tape: row => row.tape,
  'checked in': row => figure(row.checkedIn),
  'public count': row => figure(row.publicCount),
  'in line': row => figure(row.inLine),
  'in slot': row => figure(row.inSlot),
  'ballots left': row => figure(row.ballotsLeft),
  slot: row => row.slotOpen,
  equipment: row => [...row.down].sort().join(' '),
  'return left': row => row.departedAt,
  'return received': row => row.receivedAt,
} as const satisfies Record<string, (row: BoardRow) => string | number | boolean | null>

/**
 * Precincts that stood otherwise than the office knew at one instant: rows as known beside rows as happened, in
 * the order of the latter. Silence, reasons and the call list are verdicts and are not compared; nor is when a
 * precinct was heard, which is the office's side of it.
 */
export function differencesOf(known: Iterable<BoardRow>, happened: Iterable<BoardRow>): Difference[] {
  const then = new Map<string, BoardRow>()
  for (const row of known) then.set(row.code, row)
  const differences: Difference[] = []
  for (const row of happened) {
    const before = then.get(row.code)
    if (!before) continue
    const what: DifferentField[] = []
    for (const name in differentFields) {
      const field = name as DifferentField
      if (differentFields[field](row) !== differentFields[field](before)) what.push(field)
    }
    if (what.length > 0) differences.push({ code: row.code, what })
  }
  return differences
}

function figure(is: Figure | null): string | null {
  return is && `${is.is} ${is.asOf}`
}
