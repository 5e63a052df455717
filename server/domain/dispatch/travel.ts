import { HOUR, type Instant, MINUTE } from '../time.ts'

/** A point on the earth in degrees, WGS 84. */
export type Point = { latitude: number; longitude: number }

/** Mean radius of the earth, R1 = (2a + b) / 3 of the reference ellipsoid (IUGG; Moritz 2000), in km. */
export const EARTH_KM = 6371.0088

/** Great-circle distance in km on a sphere of `radiusKm`, by the haversine formula; 0 to half a circumference. */
export function greatCircleKm(a: Point, b: Point, radiusKm: number = EARTH_KM): number {
  const rad = Math.PI / 180
  const north = Math.sin(((b.latitude - a.latitude) * rad) / 2)
  const east = Math.sin(((b.longitude - a.longitude) * rad) / 2)
  const h = north * north + Math.cos(a.latitude * rad) * Math.cos(b.latitude * rad) * east * east
  return 2 * radiusKm * Math.asin(Math.min(1, Math.sqrt(h)))
}

/** The policy's mean road speed, and how much longer roads are than the straight line (1 or more). */
export type Travel = { kmPerHour: number; detour: number }

export type Trip = {
  /** Estimated by road, in km. */
  km: number
  ms: number
}

/**
 * A trip as the crow flies times the detour at the mean speed: an estimate that knows neither roads nor water
 * nor ferries, and must be called one wherever it is shown.
 */
export function tripOf(from: Point, to: Point, travel: Travel): Trip {
  const km = greatCircleKm(from, to) * travel.detour
  return { km, ms: (km / travel.kmPerHour) * HOUR }
}

/** When who set out at `setOutAt` is expected, to the whole minute after. */
export function expectedAt(setOutAt: Instant, trip: Trip): Instant {
  return Math.ceil((setOutAt + trip.ms) / MINUTE) * MINUTE
}
