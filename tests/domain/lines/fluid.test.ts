import { describe, expect, it } from 'vitest'
import {
  fluidLine,
  fluidWaitsLonger,
  type Stage,
  takenFrom,
  waitFrom,
} from '../../../server/domain/lines/fluid.ts'

/** Thirty wait; ten minutes with nobody at work, then two a minute, at last one a minute; one a minute comes, then none. */
const stage: Stage = { waiting: 30, minutes: [10, 20, 10], come: [10, 20, 0], rate: [0, 2, 1] }

describe('a stage as a fluid', () => {
  it('grows and shrinks by what comes and what is taken', () => {
    expect([...fluidLine(stage)]).toEqual([30, 40, 20, 10])
    expect([...fluidLine({ waiting: 5, minutes: [10], come: [1], rate: [1] })]).toEqual([5, 0])
  })

  it('takes by the rates that are to come, and beyond the last step by its rate', () => {
    expect(takenFrom(stage, 0, 10)).toBe(0)
    expect(takenFrom(stage, 0, 25)).toBe(30)
    expect(takenFrom(stage, 1, 50)).toBe(2 * 20 + 30)
    expect(takenFrom(stage, 0, -5)).toBe(0)
  })

  it('makes who joins wait until those before him were taken, and where nobody works until somebody does', () => {
    expect(waitFrom(stage, 0, 30)).toBe(25)
    expect(waitFrom(stage, 0, 0)).toBe(10)
    expect(waitFrom(stage, 1, 45)).toBe(25)
    expect(waitFrom(stage, 2, 100)).toBe(100)
    const never: Stage = { waiting: 0, minutes: [10], come: [5], rate: [0] }
    expect(waitFrom(never, 0, 0)).toBe(Number.POSITIVE_INFINITY)
    expect(fluidWaitsLonger(never, 0, 30)).toBe(1)
  })

  it('gives a long wait even chances where the fluid waits just so long', () => {
    // 40 wait after ten minutes, 40 are taken in 20 minutes.
    expect(fluidWaitsLonger(stage, 1, 20)).toBeCloseTo(0.5, 12)
    // 30 wait for sure, and a Poisson count of 40 or so is taken: z = (30 − 40) ÷ √40.
    const sure: Stage = { waiting: 30, minutes: [10], come: [0], rate: [2] }
    expect(fluidWaitsLonger(sure, 0, 20)).toBeCloseTo(0.056923, 6)
    expect(fluidWaitsLonger(sure, 0, 0)).toBe(1)
    expect(fluidWaitsLonger({ ...sure, waiting: 0 }, 0, 0)).toBe(0)
  })

  it('sees a surge behind a long quiet time', () => {
    const quiet = { waiting: 0, minutes: [100, 20], rate: [2, 2] }
    expect(fluidWaitsLonger({ ...quiet, come: [10, 100] }, 2, 20)).toBeGreaterThan(0.9)
    expect(fluidWaitsLonger({ ...quiet, come: [10, 10] }, 2, 20)).toBeLessThan(1e-4)
  })
})
