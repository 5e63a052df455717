import { count } from '../../../server/domain/log/fields.ts'
import {
  type CountsAtClose,
  closingDifferences,
  holdsAtClose,
} from '../../../server/domain/reconcile/close.ts'
import type { DevicePlan } from '../../../server/protocol/device.ts'
import { tabulatorsNow } from '../names.ts'
import type { PageState } from '../pageState.ts'
import type { Words } from '../words/catalogue.ts'

type Part = Exclude<keyof CountsAtClose, 'tabulated'>
/** `tabulator`: a public count, in sheets. `box`: ballots of a precinct that are tabulated elsewhere. */
export type Row = { id: string; is: Part | 'tabulator' | 'box'; label: string; known: number | null }

/** What is on the sheet, in the order of a paper one; with what is known already. */
export function rowsOf(plan: DevicePlan, page: PageState, words: Words): Row[] {
  const { reconcile: W } = words
  const row = (is: Part, known: number | null | undefined): Row => ({
    id: is,
    is,
    label: W[is],
    known: known ?? null,
  })
  return [
    row('delivered', plan.precinct.ballots),
    row('left', page.counts.ballotsLeft?.is),
    ...countedRows(plan, page, words),
    ...(plan.tabulators.length > 0 ? [row('inSlot', page.inSlot)] : []),
    row('spoiled', page.counts.spoiled?.is),
    row('provisional', page.counts.provisional?.is),
    row('challenged', null),
    row('checkedIn', page.counts.checkedIn?.is),
  ]
}

/** Each tabulator that stood here today: one that was replaced keeps what it counted. */
function countedRows(plan: DevicePlan, page: PageState, words: Words): Row[] {
  const { reconcile: W } = words
  if (plan.tabulators.length === 0) return [{ id: 'box', is: 'box', label: W.box, known: null }]
  const before = Object.keys(page.replaced).map(tag => ({ tag, label: tag }))
  return [...before, ...tabulatorsNow(plan, page, words)].map(({ tag, label }) => ({
    id: `tabulator:${tag}`,
    is: 'tabulator',
    label: W.tabulator(label),
    known: page.publicCount[tag]?.is ?? null,
  }))
}

export type Sums = {
  /** Lines that are empty or no number. */
  empty: readonly string[]
  /** null: a line of it is empty. */
  used: number | null
  found: number | null
  voted: number | null
  checkedIn: number | null
  differences: { ballots: number | null; voters: number | null }
  /** Null until every line is a number. */
  counts: CountsAtClose | null
  holds: boolean
  /** Sheets that are no whole number of ballots; null: they are. */
  oddSheets: number | null
}

/**
 * The two identities of server/domain/reconcile/close.ts on what is typed so far, in ballots.
 *
 * @param typed By row; a row that nobody typed in has what is known.
 */
export function sumsOf(
  plan: DevicePlan,
  rows: readonly Row[],
  typed: Readonly<Record<string, string>>,
): Sums {
  const value = (row: Row) => (typed[row.id] === undefined ? row.known : numberOf(typed[row.id]!))
  const empty = rows.filter(row => value(row) === null).map(row => row.id)
  const of = (...which: Row['is'][]): number | null => {
    const values = rows.filter(row => which.includes(row.is)).map(value)
    return values.reduce<number | null>((sum, n) => (sum === null || n === null ? null : sum + n), 0)
  }
  const sheets = of('tabulator')
  const box = of('box')
  const tabulated = sheets === null || box === null ? null : Math.round(sheets / plan.precinct.sheets) + box
  const [delivered, left, inSlot, checkedIn] = [of('delivered'), of('left'), of('inSlot'), of('checkedIn')]
  const [spoiled, provisional, challenged] = [of('spoiled'), of('provisional'), of('challenged')]
  const voted = plus(tabulated, inSlot)
  const found = plus(voted, plus(spoiled, plus(provisional, challenged)))
  const used = plus(delivered, left === null ? null : -left)
  const all = { delivered, left, tabulated, inSlot, spoiled, provisional, challenged, checkedIn }
  const counts = empty.length === 0 ? (all as CountsAtClose) : null
  // A line that is empty stands on the other side only: each identity is worked out as soon as its own lines are there.
  const whole = closingDifferences({ ...zero, ...known(all) })
  return {
    empty,
    used,
    found,
    voted,
    checkedIn,
    differences: {
      ballots: used === null || found === null ? null : whole.ballots,
      voters: voted === null || provisional === null || checkedIn === null ? null : whole.voters,
    },
    counts,
    holds: counts !== null && holdsAtClose(closingDifferences(counts), plan.countTolerance),
    oddSheets: sheets !== null && sheets % plan.precinct.sheets !== 0 ? sheets : null,
  }
}

const zero: CountsAtClose = {
  delivered: 0,
  left: 0,
  tabulated: 0,
  inSlot: 0,
  spoiled: 0,
  provisional: 0,
  challenged: 0,
  checkedIn: 0,
}

function known(all: Readonly<Record<keyof CountsAtClose, number | null>>): Partial<CountsAtClose> {
  return Object.fromEntries(Object.entries(all).filter(([, n]) => n !== null))
}

function plus(a: number | null, b: number | null): number | null {
  return a === null || b === null ? null : a + b
}

/** A whole number from 0 to a million as it is typed; null: it is none. */
export function numberOf(text: string): number | null {
  if (!/^\d{1,7}$/.test(text)) return null
  const parsed = count.safeParse(Number(text))
  return parsed.success ? parsed.data : null
}
