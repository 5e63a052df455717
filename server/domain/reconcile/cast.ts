import { isOutOfUse } from '../calls/equipment.ts'
import { own } from '../day/bounded.ts'
import { downSince } from '../day/evolveEquipment.ts'
import { outstandingInSlot } from '../day/standing.ts'
import type { PrecinctState } from '../day/state.ts'
import { chainOf, tabulatorsNow } from '../day/steps.ts'
import type { PlannedIn } from '../plan/brief.ts'
import type { Instant } from '../time.ts'

/** Where cast ballots go: each tabulator, and the slot. `stoppedAt`: nothing goes there since; null: it is in use. */
type Stream = { asOf: Instant; stoppedAt: Instant | null }

/** A count, as of the instant at which it was taken. */
export type Counted = { is: number; asOf: Instant }

export type Cast = {
  /**
   * Ballots by the latest counts. `asOf`: the oldest of them, those of replaced tabulators aside, which count no more;
   * null: nothing can have been cast there.
   */
  tabulated: { is: number; asOf: Instant | null }
  /** In the slot, or taken out of it to be counted by hand or handed over. */
  inSlot: { is: number; asOf: Instant | null }
  streams: readonly Stream[]
  /** Ballots taken out of the slot since it was counted: fed ones show at the tabulator's next count only. */
  taken: number
  /** Since when no tabulator takes ballots and no slot does: everybody waits; null: one does. */
  blockedSince: Instant | null
}

/** What was cast, by the latest counts; null where ballots aren't tabulated here or a count was never said. */
export function castOf(p: PrecinctState, planned: PlannedIn): Cast | null {
  if (planned.tabulators.length === 0) return null
  const sheets = planned.precinct.sheets ?? 1
  const streams: Stream[] = []
  for (const tag of planned.tabulators)
    for (const one of chainOf(p, tag))
      if (own(p.publicCounts, one) === undefined && !neverUsed(p, one)) return null
  let tabulated = 0
  let oldest: Instant | null = null
  for (const tag in p.publicCounts) {
    const { is, asOf } = p.publicCounts[tag]!
    tabulated += is / sheets
    if (own(p.replaced, tag) === undefined && (oldest === null || asOf < oldest)) oldest = asOf
    streams.push({ asOf, stoppedAt: stoppedAt(p, tag) })
  }
  const slot = slotOf(p)
  if (slot === null) return null
  if (slot.asOf !== null)
    streams.push({
      asOf: slot.asOf,
      stoppedAt: p.slot?.is === 'open' ? null : (p.slot?.asOf ?? slot.asOf),
    })
  if (streams.length === 0) return null
  let taken = 0
  for (const feed of p.feeds) taken += feed.taken
  return {
    tabulated: { is: tabulated, asOf: oldest },
    inSlot: slot,
    streams,
    taken,
    blockedSince: blockedSince(p, planned),
  }
}

/** A tabulator that was out of use before it was ever verified has tabulated nothing. */
function neverUsed(p: PrecinctState, tag: string): boolean {
  const verified = own(p.tapes, tag)?.verifiedAt ?? null
  return verified === null && (isOutOfUse(p, tag) || own(p.replaced, tag) !== undefined)
}

function stoppedAt(p: PrecinctState, tag: string): Instant | null {
  return own(p.replacements, tag)?.asOf ?? downSince(p, tag)
}

/** Ballots in the slot; null: it was in use and nobody counted it. Never in use: none. */
function slotOf(p: PrecinctState): { is: number; asOf: Instant | null } | null {
  const is = outstandingInSlot(p)
  let aside = 0
  for (const { howMany } of p.setAside) aside += howMany
  if (is !== null) return { is: is + aside, asOf: p.feeds.at(-1)?.asOf ?? p.counts.inSlot!.asOf }
  const used = p.slot?.is === 'open' || p.changes.some(c => c.what === 'slot-opened')
  return used ? null : { is: 0, asOf: null }
}

function blockedSince(p: PrecinctState, planned: PlannedIn): Instant | null {
  if (p.slot?.is === 'open') return null
  let since: Instant | null = null
  for (const tag of tabulatorsNow(p, planned)) {
    if (!isOutOfUse(p, tag)) return null
    since = Math.max(since ?? 0, downSince(p, tag) ?? own(p.tapes, tag)?.asOf ?? 0)
  }
  return since
}
