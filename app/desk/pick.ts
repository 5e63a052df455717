import type { BoardRow, CallLine } from '../../server/domain/day/row.ts'
import type { Standing } from '../../server/domain/day/state.ts'
import { tier } from '../../server/domain/log/kindsOfSystem.ts'
import type { PlanBrief } from '../../server/protocol/board.ts'
import { paceOf } from '../parts/figures.ts'

export const SORTS = {
  need: 'need',
  name: 'name',
  standing: 'standing',
  pace: 'pace',
  heard: 'last heard',
} as const
export type Sort = keyof typeof SORTS

export type Wish = { sort: Sort; standing: Standing | ''; area: string; onlyReasons: boolean; search: string }
export const EVERYTHING: Wish = { sort: 'need', standing: '', area: '', onlyReasons: false, search: '' }

const STANDINGS: Standing[] = [
  'not-heard',
  'setting-up',
  'ready',
  'open',
  'closing',
  'closed',
  'returning',
  'received',
]
const TIERS = tier.options

/**
 * Codes of the precincts that are wished for, in the order wished for. Ties go by name, so a list never
 * shuffles by itself. "Need" follows the call list; what is not on it comes after, standing reasons first.
 */
export function pick(
  plan: Pick<PlanBrief, 'precincts'>,
  rows: ReadonlyMap<string, BoardRow>,
  calls: readonly CallLine[],
  wish: Wish,
): string[] {
  const place = new Map<string, number>()
  calls.forEach((line, i) => {
    for (const code of line.precincts) if (!place.has(code)) place.set(code, i)
  })
  const need = (row: BoardRow) => {
    const best = Math.min(...row.reasons.map(r => TIERS.indexOf(r.tier)), TIERS.length)
    return best * 10_000 + (place.get(row.code) ?? 9_999)
  }
  const key: Record<Sort, (row: BoardRow) => number> = {
    need,
    name: () => 0,
    standing: row => STANDINGS.indexOf(row.standing),
    pace: row => paceOf(row) ?? Number.POSITIVE_INFINITY,
    heard: row => row.heardAt ?? 0,
  }
  const sought = wish.search.trim().toLowerCase()
  const found: Array<{ code: string; name: string; key: number }> = []
  for (const p of plan.precincts) {
    const row = rows.get(p.code)
    if (!row) continue
    if (wish.standing && row.standing !== wish.standing) continue
    if (wish.area && p.area !== wish.area) continue
    if (wish.onlyReasons && row.reasons.length === 0) continue
    if (sought && !`${p.name} ${p.code} ${p.placeName} ${p.area}`.toLowerCase().includes(sought)) continue
    found.push({ code: p.code, name: p.name, key: key[wish.sort](row) })
  }
  found.sort((a, b) => (a.key === b.key ? a.name.localeCompare(b.name) : a.key - b.key))
  return found.map(f => f.code)
}

/** The call list as one person reads it: my own calls first, then the server's order, what stepped back last. */
export function orderCalls(calls: readonly CallLine[], me: string): CallLine[] {
  const rank = (line: CallLine) => (line.call.takenBy === me ? 0 : line.steppedBack ? 2 : 1)
  return calls
    .map((line, i) => ({ line, i }))
    .sort((a, b) => rank(a.line) - rank(b.line) || a.i - b.i)
    .map(x => x.line)
}
