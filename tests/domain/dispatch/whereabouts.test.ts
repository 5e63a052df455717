import { describe, expect, test } from 'vitest'
import {
  expectedOf,
  lastKnown,
  openErrandsOf,
  openErrandTo,
  placeOf,
  tripTo,
} from '../../../server/domain/dispatch/whereabouts.ts'
import type { ErrandKind } from '../../../server/domain/log/kindsOfErrand.ts'
import { aPlan } from '../../support/aPlan.ts'
import { at, desk, given, givenPlan, type Said } from '../../support/given.ts'

const step = (precinct: string, time: string, kind: ErrandKind, errand: string, rover = 'R-1'): Said =>
  desk(precinct, time, kind, { errand, rover })
const none = given()
const brief = none.index.brief
const rover = (code: string) => brief.rovers.find(r => r.code === code)!
const errandsAfter = (...said: Said[]) => [...given(...said).state.errands.values()]

/** R-1 was at Mill School at 9:00 and is on the way to Gull Island since 9:30. */
const theDay = [
  step('E-02', '08:30', 'RoverAssigned', 'a'),
  step('E-02', '09:00', 'RoverArrived', 'a'),
  step('E-02', '09:20', 'RoverFinished', 'a'),
  step('E-03', '09:25', 'RoverAssigned', 'b'),
  step('E-03', '09:30', 'RoverOnTheWay', 'b'),
]

describe('where a rover was last known', () => {
  test('is the base of the plan until they arrive anywhere', () => {
    const sent = errandsAfter(
      step('E-02', '08:30', 'RoverAssigned', 'a'),
      step('E-02', '08:40', 'RoverOnTheWay', 'a'),
    )
    expect(lastKnown(rover('R-1'), sent, brief)).toMatchObject({
      code: 'PL-01',
      name: 'Harbor Hall',
      since: null,
    })
  })

  test('is the place of their last arrival, ended or not, and nobody else’s', () => {
    const errands = errandsAfter(...theDay)
    expect(lastKnown(rover('R-1'), errands, brief)).toMatchObject({ name: 'Mill School', since: at('09:00') })
    expect(lastKnown(rover('R-2'), errands, brief)).toMatchObject({ name: 'Mill School', since: null })
    const there = errandsAfter(...theDay, step('E-03', '10:00', 'RoverArrived', 'b'))
    expect(lastKnown(rover('R-1'), there, brief)).toMatchObject({
      name: 'Gull Island Chapel',
      since: at('10:00'),
    })
    expect(lastKnown(rover('R-1'), there, brief, at('09:30'))).toMatchObject({ name: 'Mill School' })
  })

  test('names a base that is no polling place, since the plan’s brief carries it', () => {
    const depot = { code: 'depot', name: 'County depot', latitude: 41.55, longitude: -70.61 }
    const plan = aPlan({
      places: [...aPlan().places, depot],
      rovers: [
        { code: 'R-1', name: 'Rover one', phone: '555-0121', base: 'depot' },
        { code: 'R-2', name: 'Rover two', phone: '555-0122', base: 'depot' },
      ],
    })
    const { index } = givenPlan(plan)
    expect(index.brief.bases).toEqual([depot])
    expect(lastKnown(index.brief.rovers[0]!, [], index.brief)).toEqual({ ...depot, since: null })
  })

  test('is nowhere where the plan knows no such base', () => {
    expect(lastKnown({ code: 'R-1', base: 'elsewhere' }, [], brief)).toBeNull()
    expect(tripTo('E-01', null, brief)).toBeNull()
    expect(placeOf('E-77', brief)).toBeNull()
  })
})

describe('when a rover is expected', () => {
  test('is reckoned from where they set out, at the policy’s speed and detour', () => {
    const errands = errandsAfter(...theDay)
    const expected = expectedOf(errands.find(e => e.id === 'b')!, errands, brief)!
    expect(expected.from.name).toBe('Mill School')
    // 41.62, −70.70 to 41.40, −70.45: 32.12122 km by haversine (computed apart, in Python) × 1.35 ÷ 45 km/h = 57.8 min.
    expect(expected.trip.km).toBeCloseTo(32.12122 * 1.35, 4)
    expect(expected.at).toBe(at('10:28'))
  })

  test('isn’t said before they set out; how far it is, is', () => {
    const errands = errandsAfter(step('E-02', '08:30', 'RoverAssigned', 'a'))
    expect(expectedOf(errands[0]!, errands, brief)).toMatchObject({ at: null, from: { name: 'Harbor Hall' } })
  })

  test('isn’t said of who is on site or has ended', () => {
    const errands = errandsAfter(...theDay, step('E-03', '10:00', 'RoverArrived', 'b'))
    for (const errand of errands) expect(expectedOf(errand, errands, brief)).toBeNull()
  })
})

describe('open errands', () => {
  test('of a rover begin with the one they are on, then in order of their sending', () => {
    const errands = errandsAfter(
      step('E-01', '08:00', 'RoverAssigned', 'first'),
      step('E-02', '08:10', 'RoverAssigned', 'second'),
      step('E-03', '08:20', 'RoverAssigned', 'third'),
      step('E-03', '08:30', 'RoverOnTheWay', 'third'),
    )
    expect(openErrandsOf('R-1', errands).map(e => e.id)).toEqual(['third', 'first', 'second'])
    expect(openErrandsOf('R-2', errands)).toEqual([])
  })

  test('to a place are found from any of its precincts, and not once they have ended', () => {
    const shared = aPlan({
      precincts: aPlan().precincts.map(p => (p.code === 'E-02' ? { ...p, place: 'PL-01' } : p)),
    })
    const sent = step('E-01', '08:00', 'RoverAssigned', 'a')
    const day = givenPlan(shared, sent)
    const to = (d: typeof day, precinct: string) =>
      openErrandTo(placeOf(precinct, d.index.brief)!.code, d.state.errands.values(), d.index.brief)
    expect(to(day, 'E-02')?.id).toBe('a')
    expect(to(day, 'E-03')).toBeNull()
    expect(to(givenPlan(shared, sent, step('E-01', '08:05', 'RoverGaveBack', 'a')), 'E-01')).toBeNull()
  })
})
