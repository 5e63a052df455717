import { describe, expect, it } from 'vitest'
import { type CheckIn, exactLine, isReckonable } from '../../../server/domain/lines/exact.ts'
import { arrivalFactors } from '../../../server/domain/lines/factors.ts'
import { chanceOf } from '../../support/chance.ts'

const even = (count: number, arriving: number, stations: number) =>
  Array.from({ length: count }, () => ({ minutes: 10, arriving, stations }))

function checkIn({ inLine = 23, ...changes }: Partial<CheckIn> & { inLine?: number }): CheckIn {
  const steps = changes.steps ?? even(6, 1.6, 2)
  return {
    steps,
    perStation: 0.6,
    factors: arrivalFactors(0).map(f => ({ ...f, inLine })),
    over: new Array(steps.length + 1).fill(30),
    ...changes,
  }
}

/** Minutes that somebody who joins at `at` would wait, in a line played voter by voter: times exponential. */
function playedWait(draw: () => number, { factors, steps, perStation }: CheckIn, at: number): number {
  const take = (mean: number) => -Math.log(1 - draw()) * mean
  const free = Array.from({ length: steps[0]!.stations }, () => take(1 / perStation))
  const next = () => free.indexOf(Math.min(...free))
  const serve = (since: number) => {
    const station = next()
    const start = Math.max(since, free[station]!)
    free[station] = start + take(1 / perStation)
    return start
  }
  for (let i = 0; i < factors[0]!.inLine; i++) serve(0)
  let end = 0
  for (const { minutes, arriving } of steps) {
    let now = end + take(1 / arriving)
    end += minutes
    for (; now < Math.min(end, at); now += take(1 / arriving)) serve(now)
    if (end >= at) break
  }
  return Math.max(0, free[next()]! - at)
}

describe('the line for check-in, exactly', () => {
  it('has the chance of a long wait that a line played voter by voter has', () => {
    const line = checkIn({ inLine: 20, steps: [...even(3, 1.5, 2), ...even(3, 1, 2)] })
    const [exact] = exactLine(line).byFactor
    const RUNS = 6_000
    for (const point of [2, 4, 6]) {
      const chance = chanceOf(40 + point)
      let long = 0
      for (let i = 0; i < RUNS; i++) if (playedWait(chance.next, line, 10 * point) > 30) long++
      const p = exact!.over[point]!
      expect(p).toBeGreaterThan(0.05)
      // Four standard errors of the play.
      expect(Math.abs(long / RUNS - p)).toBeLessThan(4 * Math.sqrt((p * (1 - p)) / RUNS))
    }
  })

  it('is the matrix exponential in a line of one factor', () => {
    // tests/reference/transient_queue.csv, "morning rush, two stations" (SciPy 1.17): 25 there, so 23 in line.
    const { byFactor } = exactLine(checkIn({}))
    expect(byFactor[0]!.mean[1]).toBeCloseTo(27.0000002249, 6)
    expect(byFactor[0]!.over[1]).toBeCloseTo(0.143291796642, 6)
    expect(byFactor[0]!.over[6]).toBeCloseTo(0.789865893029, 6)
  })

  it('knows the start: who joins 23 before two stations waits for 24 to leave', () => {
    // Chance of at most 23 when 36 leave on average in half an hour: Poisson's sum in Python, math.fsum.
    const { byFactor, low, high } = exactLine(checkIn({}))
    expect(byFactor[0]!.mean[0]).toBeCloseTo(23, 12)
    expect(byFactor[0]!.over[0]).toBeCloseTo(0.014052185718991, 12)
    expect([low[0], high[0]]).toEqual([23, 23])
    expect(low[6]).toBeLessThan(byFactor[0]!.mean[6]!)
    expect(high[6]).toBeGreaterThan(byFactor[0]!.mean[6]!)
  })

  it('sees stations that come: a line at a closed door waits for it to open', () => {
    const steps = [{ minutes: 20, arriving: 1, stations: 0 }, ...even(4, 1, 3)]
    const { byFactor } = exactLine(checkIn({ inLine: 0, steps, over: [10, 30, 30, 30, 30, 30] }))
    // Who comes now waits 20 minutes for sure; nobody was taken meanwhile.
    expect(byFactor[0]!.over[0]).toBe(1)
    expect(byFactor[0]!.mean[1]).toBeCloseTo(20, 6)
    expect(byFactor[0]!.mean[2]).toBeLessThan(20)
    const patient = exactLine(checkIn({ inLine: 0, steps, over: [30, 30, 30, 30, 30, 30] }))
    expect(patient.byFactor[0]!.over[0]).toBeLessThan(1e-3)
  })

  it('mixes factors whose mean is 1 and whose logarithm spreads as asked', () => {
    for (const sd of [0.05, 0.2, 0.4]) {
      const factors = arrivalFactors(sd)
      const mean = (f: (x: number) => number) => factors.reduce((s, x) => s + x.weight * f(x.factor), 0)
      expect(mean(() => 1)).toBeCloseTo(1, 12)
      expect(Math.abs(mean(x => x) - 1)).toBeLessThan(0.001)
      const log = mean(Math.log)
      expect(Math.sqrt(mean(x => (Math.log(x) - log) ** 2))).toBeCloseTo(sd, 12)
    }
    expect(arrivalFactors(0)).toEqual([{ factor: 1, weight: 1 }])
    expect(arrivalFactors(99).at(-1)!.factor).toBe(arrivalFactors(1.5).at(-1)!.factor)
  })

  it('leaves what would take seconds', () => {
    expect(isReckonable(checkIn({}))).toBe(true)
    expect(isReckonable(checkIn({ inLine: 2_000 }))).toBe(false)
    expect(isReckonable(checkIn({ steps: even(12, 30, 40) }))).toBe(false)
    expect(isReckonable(checkIn({ perStation: 1_000 }))).toBe(false)
  })
})
