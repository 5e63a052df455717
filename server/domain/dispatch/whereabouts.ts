import { isOpenErrand } from '../day/errand.ts'
import type { Errand, ErrandStanding } from '../day/state.ts'
import type { PlanBrief, RoverBrief } from '../plan/brief.ts'
import type { Instant } from '../time.ts'
import { expectedAt, type Point, type Trip, tripOf } from './travel.ts'

/**
 * Where rovers are, as far as anybody said so: at the place where they last arrived, else at their base. Nobody is
 * followed: between two places a rover is "on the way", and that is all that is known.
 */

type Plan = Pick<PlanBrief, 'precincts' | 'bases' | 'travel'>

/** A place by name; `since`: when the rover arrived there; null: their base, from the plan. */
export type LastKnown = { code: string; name: string; since: Instant | null } & Point

/** Where a rover was last known at an instant (arrivals after it don't count); null: the plan knows no such place. */
export function lastKnown(
  rover: Pick<RoverBrief, 'code' | 'base'>,
  errands: Iterable<Errand>,
  plan: Plan,
  at: Instant = Number.POSITIVE_INFINITY,
): LastKnown | null {
  let latest: Errand | null = null
  for (const errand of errands) {
    if (errand.rover !== rover.code || errand.onSiteAt === null || errand.onSiteAt > at) continue
    if (latest === null || errand.onSiteAt >= latest.onSiteAt!) latest = errand
  }
  if (latest !== null) {
    const place = placeOf(latest.precinct, plan)
    if (place) return { ...place, since: latest.onSiteAt }
  }
  const base = plan.bases.find(b => b.code === rover.base)
  return base ? { ...base, since: null } : null
}

type PlaceOfPlan = { code: string; name: string } & Point
const placesOfPlans = new WeakMap<object, Map<string, PlaceOfPlan>>()

/** The place of a precinct; looked up in a table that is made once for a plan. */
export function placeOf(precinct: string, plan: Pick<Plan, 'precincts'>): PlaceOfPlan | null {
  let places = placesOfPlans.get(plan.precincts)
  if (!places) {
    places = new Map(
      plan.precincts.map(({ code, place, placeName, latitude, longitude }) => [
        code,
        { code: place, name: placeName, latitude, longitude },
      ]),
    )
    placesOfPlans.set(plan.precincts, places)
  }
  return places.get(precinct) ?? null
}

/** The trip from where a rover was last known to the place of a precinct; null: one of the two isn't known. */
export function tripTo(precinct: string, from: Point | null, plan: Plan): Trip | null {
  const to = placeOf(precinct, plan)
  return from && to ? tripOf(from, to, plan.travel) : null
}

export type Expected = {
  trip: Trip
  /** From where it is reckoned. */
  from: LastKnown
  /** Only of who is on the way. */
  at: Instant | null
}

/** How far an errand still is, and when its rover is expected; null once there, ended, or where nothing is known. */
export function expectedOf(errand: Errand, errands: Iterable<Errand>, plan: PlanBrief): Expected | null {
  if (!isOpenErrand(errand) || errand.is === 'on-site') return null
  const rover = plan.rovers.find(r => r.code === errand.rover)
  const from = rover ? lastKnown(rover, errands, plan, errand.onTheWayAt ?? undefined) : null
  const trip = tripTo(errand.precinct, from, plan)
  if (!from || !trip) return null
  return { trip, from, at: errand.onTheWayAt === null ? null : expectedAt(errand.onTheWayAt, trip) }
}

const nearness: ErrandStanding[] = ['on-site', 'on-the-way', 'accepted', 'assigned']

/** A rover's open errands: the one they are on first (on site before on the way …), then in order of their sending. */
export function openErrandsOf(rover: string, errands: Iterable<Errand>): Errand[] {
  return [...errands]
    .filter(e => e.rover === rover && isOpenErrand(e))
    .sort(
      (a, b) =>
        nearness.indexOf(a.is) - nearness.indexOf(b.is) ||
        a.assignedAt - b.assignedAt ||
        a.position - b.position,
    )
}

/** The open errand to a place, whichever of its precincts it is about: one visit serves all of them. */
export function openErrandTo(
  place: string,
  errands: Iterable<Errand>,
  plan: Pick<Plan, 'precincts'>,
): Errand | null {
  for (const errand of errands)
    if (isOpenErrand(errand) && placeOf(errand.precinct, plan)?.code === place) return errand
  return null
}
