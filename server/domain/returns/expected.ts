import type { PrecinctState } from '../day/state.ts'
import { expectedAt, type Trip, tripOf } from '../dispatch/travel.ts'
import type { PlanIndex } from '../plan/brief.ts'
import { type Instant, MINUTE } from '../time.ts'

/** When a return may be here, and which receiving place it is reckoned to. */
export type ExpectedArrival = { at: Instant; place: string }

/**
 * When a return that left may arrive: its departure and the trip to the nearest receiving place of the plan
 * (straight line × detour ÷ speed, as for rovers: an estimate that knows no roads and no ferries). null: it hasn't
 * left, it is here, or the plan names no receiving place.
 */
export function expectedArrival(
  p: Pick<PrecinctState, 'code' | 'departed' | 'received'>,
  index: PlanIndex,
): ExpectedArrival | null {
  const planned = index.precincts.get(p.code)
  if (!p.departed || p.received || !planned) return null
  const { receiving, places, policy } = index.plan
  let nearest: { place: string; trip: Trip } | null = null
  for (const code of receiving ?? []) {
    const place = places.find(other => other.code === code)
    if (!place) continue
    const trip = tripOf(planned.place, place, policy.travel)
    if (nearest === null || trip.ms < nearest.trip.ms) nearest = { place: code, trip }
  }
  return nearest && { at: expectedAt(p.departed.asOf, nearest.trip), place: nearest.place }
}

/**
 * From when a return is overdue: policy's minutes after it left, or, where it hasn't left, the hour by which all
 * returns are to be in.
 */
export function overdueAt(p: Pick<PrecinctState, 'departed'>, index: PlanIndex): Instant {
  return p.departed ? p.departed.asOf + index.plan.policy.returnOverdueMinutes * MINUTE : index.brief.returnBy
}
