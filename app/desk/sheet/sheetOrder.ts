import type { BoardRow } from '../../../server/domain/day/row.ts'
import type { Standing } from '../../../server/domain/day/state.ts'
import type { PlanBrief } from '../../../server/domain/plan/brief.ts'

/** In which order the sheet lists precincts; it stands in its heading, on paper too. */
export type SheetOrder = 'plan' | 'name' | 'standing'

export const ORDERS: Record<SheetOrder, string> = {
  plan: 'as in the plan',
  name: 'by name',
  standing: 'by standing',
}

/** Who is least far along first: at any hour those stand above who may need somebody. */
const FAR: Record<Standing, number> = {
  'not-heard': 0,
  'setting-up': 1,
  ready: 2,
  open: 3,
  closing: 4,
  closed: 5,
  returning: 6,
  received: 7,
}

/** Of one standing those that are silent or suspended come first, then by name. */
export function inOrder(
  order: SheetOrder,
  plan: Pick<PlanBrief, 'precincts'>,
  rows: ReadonlyMap<string, BoardRow>,
): Array<{ name: string; row: BoardRow }> {
  const lines: Array<{ name: string; row: BoardRow }> = []
  for (const { code, name } of plan.precincts) {
    const row = rows.get(code)
    if (row) lines.push({ name, row })
  }
  if (order === 'plan') return lines
  const doubtful = (row: BoardRow) => Number(row.silentSince !== null || row.suspended)
  return lines.sort(
    (a, b) =>
      (order === 'standing'
        ? FAR[a.row.standing] - FAR[b.row.standing] || doubtful(b.row) - doubtful(a.row)
        : 0) || a.name.localeCompare(b.name),
  )
}
