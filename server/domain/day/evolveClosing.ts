import type { Entry } from '../log/entry.ts'
import type { PlannedIn } from '../plan/brief.ts'
import { closingDifferences } from '../reconcile/close.ts'
import { own, put } from './bounded.ts'
import { publicCounted } from './evolveCounts.ts'
import { later, newer, registered } from './stamp.ts'
import type { PrecinctState, Register } from './state.ts'
import { deriveSteps } from './steps.ts'

/** Closing tape, reconciliation and the return: what is done after the polls close. */

export function closingTape(p: PrecinctState, entry: Entry<'ClosingTapeSigned'>, planned: PlannedIn) {
  const { tabulator, publicCount } = entry.body
  const write = registered(entry, publicCount)
  p.closingTapes = put(p.closingTapes, tabulator, newer(own(p.closingTapes, tabulator) ?? null, write), t =>
    planned.equipment.has(t),
  )
  publicCounted(p, tabulator, write, planned)
  deriveSteps(p, planned)
}

/**
 * How far the counts at closing differ (reconcile/close.ts), as the precinct states them. An explanation is kept apart
 * from the entry, so that it can be erased; that there was one stays.
 */
export function reconciled(p: PrecinctState, entry: Entry<'CountsReconciled'>) {
  const differences = closingDifferences(entry.body)
  const explained = entry.origin.detailHash !== undefined || entry.body.explanation !== undefined
  p.reconciled = newer(p.reconciled, registered(entry, { ...differences, explained }))
}

type Return = NonNullable<PrecinctState['departed']>

/** A departure as a report names it. Who carried it, and of which parties, stands in the log alone. */
export function departure(entry: Entry<'ReturnDeparted'>): Return {
  const { items, seals, carriers } = entry.body
  return registered(entry, { items, seals, carriers })
}

/** A report of the departure names items and seals, a heartbeat only that they left: the report stands, even if earlier. */
export function departed(p: PrecinctState, write: Return) {
  const standing = p.departed
  const isReport = (r: Register<unknown>) => r.number !== null
  if (standing && isReport(standing) !== isReport(write)) p.departed = isReport(write) ? write : standing
  else if (later(write, standing)) p.departed = write
}

/**
 * What the office found or wrote down stands before what the precinct's own device says of its hand-over: a tablet
 * that says "received" a minute after the check-in knows nothing of what was counted there.
 */
export function received(p: PrecinctState, entry: Entry<'ReturnReceived'>) {
  const { items, seals, carriers = null, station = null } = entry.body
  const { via, wrote: by = null } = entry.origin
  const is = { items, seals, carriers, station, via, by, position: entry.position }
  const write: NonNullable<PrecinctState['received']> = registered(entry, is)
  const standing = p.received
  const byOffice = (r: typeof write) => r.is.via !== 'device'
  if (standing && byOffice(standing) !== byOffice(write)) p.received = byOffice(write) ? write : standing
  else p.received = newer(standing, write)
}
