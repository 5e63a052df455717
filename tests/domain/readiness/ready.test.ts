import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { standardSteps } from '../../../server/domain/plan/standardDay.ts'
import { durationOf, minutesBy, remaining } from '../../../server/domain/readiness/grid.ts'
import type { NetworkStep } from '../../../server/domain/readiness/network.ts'
import { paceSaidBy, type Ready, readyForecast } from '../../../server/domain/readiness/ready.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import { chanceOf } from '../../support/chance.ts'

const step = (code: string, medianMinutes: number, p90Minutes: number, ...after: string[]): NetworkStep => ({
  code,
  phase: 'opening',
  after,
  medianMinutes,
  p90Minutes,
})
/** Two paths that share their first and last step, and a short one beside them. */
const shared = [
  step('team', 10, 20),
  step('box', 8, 16, 'team'),
  step('tape', 12, 22, 'box'),
  step('ballots', 18, 30, 'team'),
  step('door', 5, 9, 'tape', 'ballots'),
  step('signs', 25, 40, 'team'),
]
const PLAIN = { mean: 0, variance: 0 }
const at = (
  done: Record<string, number>,
  now: number,
  opens = 60,
  steps: readonly NetworkStep[] = shared,
): Ready => {
  const instants = Object.fromEntries(Object.entries(done).map(([code, m]) => [code, m * MINUTE]))
  return readyForecast(steps, 0, opens * MINUTE, instants, now * MINUTE, PLAIN).ready
}

/** Share of seeded days on which the shared network is done by each minute, `done` and elapsed time given. */
function simulated(done: Record<string, number>, now: number, runs: number): (minutes: number) => number {
  const { normal } = chanceOf(2_026)
  const ends: number[] = []
  while (ends.length < runs) {
    const end: Record<string, number> = { ...done }
    let possible = true
    for (const { code, after, medianMinutes, p90Minutes } of shared) {
      if (end[code] !== undefined) continue
      const { median, sigma } = durationOf(medianMinutes, p90Minutes)
      end[code] = Math.max(0, ...after.map(a => end[a]!)) + median * Math.exp(sigma * normal())
      // A day on which it would have been done by now is none of those that look like this one.
      if (end[code]! < now) possible = false
    }
    if (possible) ends.push(Math.max(...Object.values(end)))
  }
  return minutes => ends.filter(e => e <= minutes).length / runs
}

describe('when a precinct will be ready', () => {
  it.each([
    ['at the beginning', {}, 0],
    ['with the team there', { team: 14 }, 20],
    ['with one path done', { team: 9, box: 15, tape: 24 }, 25],
  ])('is never promised sooner than seeded days have it, and not much later: %s', (_, done, now) => {
    const runs = 8_000
    const share = simulated(done, now, runs)
    for (const minutes of [35, 45, 55, 65, 80, 100]) {
      const simulatedChance = share(minutes)
      const error = 3 * Math.sqrt((simulatedChance * (1 - simulatedChance)) / runs) + 0.002
      const { chance } = at(done, now, minutes)
      expect(chance, `by minute ${minutes}`).toBeLessThanOrEqual(simulatedChance + error)
      expect(chance, `by minute ${minutes}`).toBeGreaterThanOrEqual(simulatedChance - error - 0.08)
    }
  })

  it('is known where everything is done: by the last step, before or after the hour', () => {
    const all = { team: 9, box: 15, tape: 30, ballots: 28, signs: 31, door: 35 }
    expect(at(all, 50)).toEqual({
      done: 6,
      of: 6,
      chance: 1,
      by10: 35 * MINUTE,
      by50: 35 * MINUTE,
      by90: 35 * MINUTE,
      holding: null,
      helpBy: null,
    })
    expect(at({ ...all, door: 61 }, 70).chance).toBe(0)
    expect(at({ door: 35, signs: 31 }, 50)).toMatchObject({ done: 6, chance: 1 })
  })

  it('counts a step as done when one that needs it is', () => {
    expect(at({ tape: 30 }, 31)).toMatchObject({ done: 3, of: 6 })
  })

  it('moves on while a step is under way and nothing is said', () => {
    const early = at({ team: 10 }, 12)
    const late = at({ team: 10 }, 50)
    expect(late.by50).toBeGreaterThan(early.by50)
    expect(late.chance).toBeLessThan(early.chance)
    expect(late.by10).toBeGreaterThanOrEqual(50 * MINUTE)
  })

  it('does not begin before the team is to be there, however early it is asked', () => {
    expect(at({}, -600)).toEqual(at({}, 0))
  })

  it('names the step that begins the longest chain of those that can be worked on', () => {
    expect(at({}, 0).holding).toBe('team')
    expect(at({ team: 10 }, 10).holding).toBe('box')
    expect(at({ team: 10, box: 17, tape: 25 }, 26).holding).toBe('ballots')
    expect(at({ team: 10, box: 17, tape: 25, ballots: 27 }, 28).holding).toBe('signs')
    expect(at({ team: 10, box: 17, tape: 25, signs: 30, ballots: 31 }, 32).holding).toBe('door')
  })

  it('says until when help is of use: what follows still fits before the hour eight times in ten', () => {
    const chain = [step('first', 10, 20), step('second', 12, 22, 'first')]
    const second = minutesBy(remaining(durationOf(12, 22), 0), 0.8)
    expect(at({}, 0, 60, chain).helpBy).toBe(Math.floor((60 - second) * MINUTE))
    expect(at({}, 55, 60, chain).helpBy).toBe(at({}, 0, 60, chain).helpBy)
    // Nothing follows the last one: done at the hour is in time.
    expect(at({ first: 9 }, 10, 60, chain).helpBy).toBe(60 * MINUTE)
  })

  it('cuts a circle, and does not call it ready', () => {
    const circle = [step('a', 10, 20, 'b'), step('b', 10, 20, 'a'), step('self', 5, 9, 'self')]
    const ready = at({}, 0, 10, circle)
    expect(ready).toMatchObject({ done: 0, of: 3 })
    expect(ready.chance).toBeLessThan(0.5)
    expect(ready.by50).toBeGreaterThan(15 * MINUTE)
  })

  it('takes no word that every object has by nature for a step', () => {
    const odd = [step('constructor', 10, 20), step('toString', 5, 9, 'constructor')]
    expect(at({}, 0, 60, odd)).toMatchObject({ done: 0, of: 2, holding: 'constructor' })
  })

  it('hears of pace from steps done and under way, each from what it needed', () => {
    const instants = { team: 10 * MINUTE, box: 26 * MINUTE }
    const said = paceSaidBy(shared, 0, instants, 40 * MINUTE)
    expect(said).toHaveLength(5)
    expect(said[0]!.logRatio).toBeCloseTo(0, 12)
    expect(said[1]!.logRatio).toBeCloseTo(Math.log(16 / 8), 12)
    // A step that was done without a word says nothing, nor does what came after it.
    expect(paceSaidBy(shared, 0, { tape: 40 * MINUTE }, 41 * MINUTE)).toEqual([])
  })

  it('is finite and in order for any instants said and any hour', () => {
    const opening = standardSteps.filter(s => s.phase === 'opening')
    const instant = fc.integer({ min: -2_000 * MINUTE, max: 2_000 * MINUTE })
    const done = fc.dictionary(fc.constantFrom(...opening.map(s => s.code), 'unknown'), instant)
    const pace = fc.record({
      mean: fc.double({ min: -1.5, max: 1.5, noNaN: true }),
      variance: fc.double({ min: 0, max: 0.1, noNaN: true }),
    })
    fc.assert(
      fc.property(done, instant, instant, pace, (said, now, opensAt, p) => {
        const { ready, from, rest } = readyForecast(opening, 0, opensAt, said, now, p)
        const { by10, by50, by90, chance, helpBy } = ready
        for (const n of [by10, by50, by90, from, helpBy ?? 0]) expect(Number.isSafeInteger(n)).toBe(true)
        expect(chance).toBeGreaterThanOrEqual(0)
        expect(chance).toBeLessThanOrEqual(1)
        expect(by10).toBeLessThanOrEqual(by50)
        expect(by50).toBeLessThanOrEqual(by90)
        expect(ready.holding === null).toBe(ready.done === ready.of)
        expect(rest.reduce((a, b) => a + b)).toBeCloseTo(1, 9)
        for (const one of paceSaidBy(opening, 0, said, now)) {
          expect(Number.isFinite(one.logRatio)).toBe(true)
          expect(one.variance).toBeGreaterThan(0)
        }
      }),
      { seed: 22, numRuns: 80 },
    )
  })
})
