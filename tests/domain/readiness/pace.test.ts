import { describe, expect, it } from 'vitest'
import { durationOf } from '../../../server/domain/readiness/grid.ts'
import {
  atPace,
  countyPace,
  type PaceSaid,
  paceSaid,
  paceUnderWay,
  precinctPace,
} from '../../../server/domain/readiness/pace.ts'
import { chanceOf } from '../../support/chance.ts'

const step = durationOf(10, 20)
const said = (minutes: number, times: number): PaceSaid[] =>
  Array.from({ length: times }, () => paceSaid(step, minutes)!)

describe('pace of the opening', () => {
  it('is the plan’s while nothing is said', () => {
    expect(countyPace([])).toEqual({ mean: 0, variance: 0.1 ** 2 })
    expect(countyPace([[], []])).toEqual(countyPace([]))
    expect(precinctPace({ mean: 0.3, variance: 0.01 }, []).mean).toBe(0.3)
  })

  it('of a precinct is the county’s after little, and its own after much', () => {
    const county = { mean: 0.2, variance: 0.001 }
    const own = Math.log(1.8)
    const little = precinctPace(county, said(18, 1))
    const much = precinctPace(county, said(18, 200))
    expect(little.mean).toBeGreaterThan(0.2)
    expect(little.mean).toBeLessThan(0.2 + (own - 0.2) / 3)
    expect(much.mean).toBeCloseTo(own, 1)
    expect(much.variance).toBeLessThan(little.variance)
  })

  it('is the mean weighted by precision (one precinct, one step, by hand)', () => {
    const variance = step.sigma ** 2
    const weight = 1 / (0.04 + 0.01) + 1 / variance
    const found = precinctPace({ mean: 0.1, variance: 0.01 }, said(20, 1))
    expect(found.mean).toBeCloseTo((0.1 / 0.05 + Math.log(2) / variance) / weight, 12)
    expect(found.variance).toBeCloseTo(1 / weight, 12)
  })

  it('of the county follows many precincts, and no single one', () => {
    const slow = Array.from({ length: 200 }, () => said(15, 3))
    expect(countyPace(slow).mean).toBeCloseTo(Math.log(1.5), 1)
    expect(countyPace([said(40, 8)]).mean).toBeLessThan(0.4)
    expect(Math.abs(countyPace([...slow, said(2_000, 1)]).mean - countyPace(slow).mean)).toBeLessThan(0.01)
  })

  it('is not said by a step noted at once with another, and bounded for one noted hours late', () => {
    expect(paceSaid(step, 0.5)).toBeNull()
    expect(paceSaid(step, -3)).toBeNull()
    expect(paceSaid(step, Number.NaN)).toBeNull()
    expect(paceSaid(step, 9_000)!.logRatio).toBe(1.5)
    expect(paceUnderWay(step, 9_000)!.logRatio).toBe(1.5)
  })

  it('is said by a step under way: at its median σ√(π/2) with variance σ²π/2, in closed form', () => {
    const one = paceUnderWay(step, 10)!
    expect(one.logRatio).toBeCloseTo(step.sigma * Math.sqrt(Math.PI / 2), 10)
    expect(one.variance).toBeCloseTo((step.sigma ** 2 * Math.PI) / 2, 10)
    expect(paceUnderWay(step, 1)).toBeNull()
    expect(paceUnderWay(durationOf(10, 5), 300)!.logRatio).toBe(1.5)
  })

  it('begins no morning too fast: seeded precincts at the plan’s pace are told to be near it at every minute', () => {
    const { normal } = chanceOf(5)
    const took = Array.from({ length: 600 }, () => 10 * Math.exp(step.sigma * normal()))
    for (const now of [5, 8, 12, 20]) {
      const all = took.map(t => [t <= now ? paceSaid(step, t)! : paceUnderWay(step, now)!])
      const quick = took.filter(t => t <= now).map(t => [paceSaid(step, t)!])
      expect(Math.abs(countyPace(all).mean), `minute ${now}`).toBeLessThan(0.1)
      if (now < 12) expect(countyPace(quick).mean).toBeLessThan(-0.25)
    }
  })

  it('makes a duration longer, and wider by what is not known', () => {
    const slow = atPace(step, { mean: Math.log(1.5), variance: 0.09 })
    expect(slow.median).toBeCloseTo(15, 12)
    expect(slow.sigma).toBeCloseTo(Math.sqrt(step.sigma ** 2 + 0.09), 12)
  })
})
