import type { Entry } from '../log/entry.ts'
import type { CountName } from '../log/fields.ts'
import { type PlanIndex, type PlannedIn, QUARTER, QUARTERS } from '../plan/brief.ts'
import type { Instant } from '../time.ts'
import { own, put } from './bounded.ts'
import { copyOfCounts } from './copies.ts'
import { feedsAfterCount } from './evolveSlot.ts'
import { later, newer, registered, statedAt } from './stamp.ts'
import type { PrecinctState, Register } from './state.ts'

const NAMES = [
  'checkedIn',
  'inLine',
  'inSlot',
  'spoiled',
  'provisional',
  'curbside',
  'ballotsLeft',
] as const satisfies readonly CountName[]

/** Counts typed at one moment: each goes to its own register, as of the moment they were taken. */
export function countsReported(
  p: PrecinctState,
  entry: Entry<'CountsReported'>,
  planned: PlannedIn,
  index: PlanIndex,
) {
  const { body } = entry
  const asOf = statedAt(entry, body.asOf)
  const writes: Partial<Record<CountName, Register<number>>> = {}
  for (const name of NAMES) {
    const is = body[name]
    if (is !== undefined) writes[name] = registered(entry, is, asOf)
  }
  countedAll(p, writes, index)
  for (const tag in body.publicCount)
    publicCounted(p, tag, registered(entry, body.publicCount[tag]!, asOf), planned)
}

/** Several counts in one: the table is copied once. */
export function countedAll(
  p: PrecinctState,
  writes: Partial<Record<CountName, Register<number>>>,
  index: PlanIndex,
) {
  const counts = copyOfCounts(p.counts)
  for (const name of NAMES) {
    const write = writes[name]
    if (write && later(write, counts[name])) counts[name] = write
  }
  p.counts = counts
  if (writes.checkedIn) onCurve(p, writes.checkedIn, index)
  if (writes.inLine) onLines(p, writes.inLine, index)
  if (writes.inSlot) feedsAfterCount(p)
}

export function counted(p: PrecinctState, name: CountName, write: Register<number>) {
  if (later(write, p.counts[name])) {
    const counts = copyOfCounts(p.counts)
    counts[name] = write
    p.counts = counts
  }
  if (name === 'inSlot') feedsAfterCount(p)
}

export function checkedInAt(p: PrecinctState, write: Register<number>, index: PlanIndex) {
  counted(p, 'checkedIn', write)
  onCurve(p, write, index)
}

export function inLineAt(p: PrecinctState, write: Register<number>, index: PlanIndex) {
  counted(p, 'inLine', write)
  onLines(p, write, index)
}

function onCurve(p: PrecinctState, write: Register<number>, index: PlanIndex) {
  p.curve = latestOfQuarter(p.curve, write, index)
}

function onLines(p: PrecinctState, write: Register<number>, index: PlanIndex) {
  p.lines = latestOfQuarter(p.lines, write, index)
}

type Quarters = Readonly<Record<number, Register<number>>>

function latestOfQuarter(quarters: Quarters, write: Register<number>, index: PlanIndex): Quarters {
  const q = quarterOf(write.asOf, index)
  if (!later(write, quarters[q])) return quarters
  const copy: Record<number, Register<number>> = { ...quarters }
  copy[q] = write
  return copy
}

/** What lies outside the day's 30 hours is put into its first or last quarter. */
function quarterOf(at: Instant, index: PlanIndex): number {
  return Math.min(QUARTERS - 1, Math.max(0, Math.floor((at - index.brief.midnight) / QUARTER)))
}

/** Sheets through one tabulator. */
export function publicCounted(p: PrecinctState, tag: string, write: Register<number>, planned: PlannedIn) {
  p.publicCounts = put(p.publicCounts, tag, newer(own(p.publicCounts, tag) ?? null, write), t =>
    planned.equipment.has(t),
  )
}

export function lineReported(p: PrecinctState, entry: Entry<'LineReported'>, index: PlanIndex) {
  const asOf = statedAt(entry, entry.body.asOf)
  inLineAt(p, registered(entry, entry.body.inLine, asOf), index)
  const { stationsWorking } = entry.body
  if (stationsWorking === undefined) return
  const write = registered(entry, stationsWorking, asOf)
  p.stationsWorking = newer(p.stationsWorking, write)
  p.stationsSaid = latestOfQuarter(p.stationsSaid, write, index)
}
