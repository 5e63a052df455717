import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { openingNetwork } from '../../../server/domain/readiness/network.ts'
import { readiness } from '../../../server/domain/readiness/readiness.ts'
import { MINUTE } from '../../../server/domain/time.ts'

const step = (code: string, medianMinutes: number, ...after: string[]) => ({
  code,
  phase: 'opening' as const,
  after,
  medianMinutes,
  p90Minutes: medianMinutes,
})

/** Activities A to H of a project network whose published critical path is A-C-E-G-H, 15 weeks (Heizer and Render, from memory). */
const published = [
  step('A', 2),
  step('B', 3),
  step('C', 2, 'A'),
  step('D', 4, 'A', 'B'),
  step('E', 4, 'C'),
  step('F', 3, 'C'),
  step('G', 5, 'D', 'E'),
  step('H', 2, 'F', 'G'),
]
const minutes = (n: number) => n * MINUTE
const at = (now: number, done: Record<string, number> = {}, steps = published) => {
  const instants = Object.fromEntries(Object.entries(done).map(([code, m]) => [code, minutes(m)]))
  return readiness(steps, 0, instants, minutes(now), 3)
}

describe('readiness', () => {
  it('takes the usual time from the longest path (Heizer and Render, from memory: 15)', () => {
    expect(openingNetwork(published).usualReady).toBe(15)
    expect(openingNetwork(published).usual).toMatchObject({ A: 2, C: 4, E: 8, D: 7, G: 13, H: 15 })
  })

  it('expects the usual time while nothing is late, and names the first step of the longest path', () => {
    expect(at(0)).toMatchObject({ done: 0, of: 8, minutesBehind: 0, readyAt: minutes(15), holding: 'A' })
    expect(at(2, { A: 2 })).toMatchObject({ done: 1, minutesBehind: 0, readyAt: minutes(15), holding: 'C' })
  })

  it('is behind by the most overdue step that is not done, from the minute it was the threshold behind', () => {
    expect(at(9, { A: 2, B: 3 })).toMatchObject({ minutesBehind: 5, holding: 'C', behindSince: minutes(7) })
    expect(at(6, { A: 2, B: 3 })).toMatchObject({ minutesBehind: 2, behindSince: null })
  })

  it('is behind by the last step done where that came late and the next is not due yet', () => {
    const late = at(6, { A: 6, B: 3 })
    expect(late.minutesBehind).toBe(4)
    expect(late.readyAt).toBe(minutes(19))
    expect(late.behindSince).toBe(minutes(5))
  })

  it('takes an overdue step as done now at the earliest, and what follows its usual time', () => {
    expect(at(40).readyAt).toBe(minutes(53))
    expect(at(40, { G: 13, F: 7 }).readyAt).toBe(minutes(40))
  })

  it('counts a step as done when one that needs it is done', () => {
    const all = at(20, { H: 14 })
    expect(all).toMatchObject({ done: 8, minutesBehind: 0, holding: null, readyAt: minutes(14) })
    expect(at(7, { E: 7, B: 3, D: 7 })).toMatchObject({ done: 5, minutesBehind: 0 })
  })

  it('leaves closing steps and unknown prerequisites aside', () => {
    const steps = [step('A', 2, 'nowhere'), { ...step('Z', 90), phase: 'closing' as const }]
    expect(at(0, {}, steps as typeof published)).toMatchObject({ of: 1, readyAt: minutes(2) })
    expect(readiness([], 0, {}, 5, 1)).toMatchObject({ of: 0, holding: null, minutesBehind: 0 })
  })

  it('ends for any network, circles too, with figures that hold together', () => {
    const codes = ['a', 'b', 'c', 'd', 'e', 'f']
    const steps = fc.tuple(
      ...codes.map(c =>
        fc
          .record({ after: fc.subarray(codes), m: fc.integer({ min: 1, max: 60 }) })
          .map(r => step(c, r.m, ...r.after)),
      ),
    )
    const done = fc.dictionary(fc.constantFrom(...codes), fc.integer({ min: -60, max: 200 }))
    fc.assert(
      fc.property(steps, done, fc.integer({ min: 0, max: 300 }), (network, when, now) => {
        const r = at(now, when, network as typeof published)
        expect(r.minutesBehind).toBeGreaterThanOrEqual(0)
        expect(Number.isFinite(r.readyAt)).toBe(true)
        expect(r.holding === null).toBe(r.done === r.of)
        if (r.holding !== null) expect(r.readyAt).toBeGreaterThanOrEqual(minutes(now))
        if (r.behindSince !== null) expect(r.minutesBehind).toBeGreaterThanOrEqual(3)
      }),
    )
  })
})
