import { describe, expect, test } from 'vitest'
import { EARTH_KM, expectedAt, greatCircleKm, tripOf } from '../../../server/domain/dispatch/travel.ts'
import { at } from '../../support/given.ts'

const nashville = { latitude: 36.12, longitude: -86.67 }
const losAngeles = { latitude: 33.94, longitude: -118.4 }

describe('the distance between two places', () => {
  test('agrees with a published figure', () => {
    // Rosetta Code, task "Haversine formula": BNA (36.12, −86.67) to LAX (33.94, −118.40) is
    // 2886.44444283798329974715782394574671655 km with a radius of 6371.0 km, and
    // 2887.25995060711033944886005029688505340 km with 6372.8 km.
    expect(greatCircleKm(nashville, losAngeles, 6371)).toBeCloseTo(2886.444442837983, 8)
    expect(greatCircleKm(nashville, losAngeles, 6372.8)).toBeCloseTo(2887.25995060711, 8)
    // The mean radius R1 of the IUGG (Moritz 2000, 6371.0088 km) changes it in proportion.
    expect(greatCircleKm(nashville, losAngeles)).toBeCloseTo(2886.444442837983 * (6371.0088 / 6371), 8)
  })

  test('from pole to equator is a quarter of a circle, and to the other side of the earth a half', () => {
    const pole = { latitude: 90, longitude: 12 }
    expect(greatCircleKm(pole, { latitude: 0, longitude: -70 })).toBeCloseTo((Math.PI / 2) * EARTH_KM, 8)
    expect(greatCircleKm(nashville, { latitude: -36.12, longitude: 93.33 })).toBeCloseTo(
      Math.PI * EARTH_KM,
      6,
    )
  })

  test('is nothing to itself, the same both ways, and short across the date line', () => {
    expect(greatCircleKm(nashville, nashville)).toBe(0)
    expect(greatCircleKm(losAngeles, nashville)).toBeCloseTo(greatCircleKm(nashville, losAngeles), 10)
    const km = greatCircleKm({ latitude: 0, longitude: 179.5 }, { latitude: 0, longitude: -179.5 })
    expect(km).toBeCloseTo((Math.PI / 180) * EARTH_KM, 8)
  })
})

describe('a trip', () => {
  /** One degree of latitude. */
  const south = { latitude: 41, longitude: -70 }
  const north = { latitude: 42, longitude: -70 }

  test('is the straight line times the detour, at the policy’s speed', () => {
    const trip = tripOf(south, north, { kmPerHour: 45, detour: 1.35 })
    expect(trip.km).toBeCloseTo(((Math.PI * EARTH_KM) / 180) * 1.35, 8)
    // 111.195 km × 1.35 ÷ 45 km/h = 3.3358 h
    expect(trip.ms / 3_600_000).toBeCloseTo(3.33585, 5)
  })

  test('twice as fast takes half as long', () => {
    const slow = tripOf(south, north, { kmPerHour: 30, detour: 1.5 })
    const fast = tripOf(south, north, { kmPerHour: 60, detour: 1.5 })
    expect(fast.ms * 2).toBeCloseTo(slow.ms, 6)
  })

  test('ends at the whole minute after, and at once where there is no way to go', () => {
    expect(expectedAt(at('09:41'), { km: 1, ms: 90_000 })).toBe(at('09:43'))
    expect(expectedAt(at('09:41'), { km: 1, ms: 120_000 })).toBe(at('09:43'))
    expect(expectedAt(at('09:41'), { km: 0, ms: 0 })).toBe(at('09:41'))
  })
})
