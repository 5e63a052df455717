import { standingOf } from '../domain/day/standing.ts'
import type { DayState, PrecinctState } from '../domain/day/state.ts'
import type { PlanIndex, PlannedIn } from '../domain/plan/brief.ts'
import { compareReturn, sentOf } from '../domain/returns/compare.ts'
import { expectedArrival, overdueAt } from '../domain/returns/expected.ts'
import { type Instant, toRfc3339 } from '../domain/time.ts'
import type { ReturnOnWire, ReturnsAnswer } from '../protocol/returns.ts'

/** A running day as its returns are told from. */
export type ReturningDay = { day: string; index: PlanIndex; now(): Instant; state(): DayState }

/**
 * Every return of the day, or of some precincts, in the plan's order. Codes that the plan hasn't are left out.
 * Expected seals are told by their number only; after the check-in the comparison says which differ.
 */
export function returnsAnswer(
  day: ReturningDay,
  nameOf: (person: string) => string,
  only: readonly string[] = [],
): ReturnsAnswer {
  const { index } = day
  const state = day.state()
  const now = day.now()
  const wanted = new Set(only)
  const returns: ReturnOnWire[] = []
  for (const [code, planned] of index.precincts) {
    const p = state.precincts.get(code)
    if (p && (wanted.size === 0 || wanted.has(code))) returns.push(returnOf(p, planned, index, now, nameOf))
  }
  return {
    now: toRfc3339(now),
    cursor: state.cursor,
    returnBy: toRfc3339(index.brief.returnBy),
    overdueMinutes: index.plan.policy.returnOverdueMinutes,
    stations: (index.plan.receiving ?? []).map(code => placeOf(code, index)),
    returns,
  }
}

function returnOf(
  p: PrecinctState,
  planned: PlannedIn,
  index: PlanIndex,
  now: Instant,
  nameOf: (person: string) => string,
): ReturnOnWire {
  const expected = expectedArrival(p, index)
  const due = overdueAt(p, index)
  const sent = sentOf(p, planned)
  // A tablet's or a caller's word is no look at what lies on the table: nothing of it is shown or compared here.
  const checkedIn = p.received?.is.via === 'desk'
  return {
    precinct: p.code,
    name: planned.precinct.name,
    place: { code: planned.place.code, name: planned.place.name },
    standing: standingOf(p, index),
    departedAt: p.departed && toRfc3339(p.departed.asOf),
    expected: expected && { at: toRfc3339(expected.at), place: placeOf(expected.place, index) },
    overdueAt: toRfc3339(due),
    overdue: p.received === null && now >= due,
    sent: {
      said: sent.items !== null,
      items: sent.items && [...sent.items],
      seals: sent.seals.length,
      carriers: sent.carriers,
    },
    received: p.received && {
      at: toRfc3339(p.received.asOf),
      via: p.received.is.via,
      by: p.received.is.by === null ? null : nameOf(p.received.is.by),
      carriers: p.received.is.carriers,
      station: p.received.is.station === null ? null : placeOf(p.received.is.station, index),
      items: checkedIn ? [...p.received.is.items] : [],
      seals: checkedIn ? [...p.received.is.seals] : [],
      position: p.received.is.position,
      receipt: checkedIn ? receiptNumber(p.received.is.position) : null,
    },
    difference: checkedIn ? compareReturn(p, planned) : null,
  }
}

/** A receipt is numbered by the place of its entry in the day's log. */
function receiptNumber(position: number): string {
  return `R-${position}`
}

function placeOf(code: string, index: PlanIndex): { code: string; name: string } {
  return { code, name: index.plan.places.find(p => p.code === code)?.name ?? code }
}
