import { describe, expect, it } from 'vitest'
import { type CheckIn, exactLine } from '../../../server/domain/lines/exact.ts'
import { arrivalFactors } from '../../../server/domain/lines/factors.ts'
import { couldMatter, roughLine } from '../../../server/domain/lines/rough.ts'
import { chanceOf } from '../../support/chance.ts'

function randomCheckIn(seed: number): { checkIn: CheckIn; logSd: number } {
  const chance = chanceOf(seed)
  const stations = 1 + Math.floor(chance.next() * 6)
  const perStation = chance.between(0.3, 1.2)
  const load = chance.between(0.1, 1.1)
  const steps = Array.from({ length: 12 }, () => ({
    minutes: 10,
    arriving: load * chance.between(0.6, 1.2) * stations * perStation,
    stations,
  }))
  const logSd = chance.between(0, 0.3)
  const inLine = Math.floor(chance.next() * 20 * stations * perStation)
  return {
    checkIn: {
      steps,
      perStation,
      factors: arrivalFactors(logSd).map(f => ({ ...f, inLine })),
      over: new Array(13).fill(30),
    },
    logSd,
  }
}

const mixed = (checkIn: CheckIn, line: ReturnType<typeof exactLine>, what: 'mean' | 'over', i: number) =>
  checkIn.factors.reduce((sum, { weight }, k) => sum + weight * line.byFactor[k]![what][i]!, 0)

describe('a line roughly', () => {
  it('is only where the exact chance of a long wait is under one in a hundred, and says so too', () => {
    let [screened, worstExact, worstRough] = [0, 0, 0]
    const apart: number[] = []
    for (let seed = 1; seed <= 300; seed++) {
      const { checkIn, logSd } = randomCheckIn(seed)
      const rough = roughLine(checkIn, logSd)
      if (couldMatter(rough, checkIn.factors)) continue
      screened++
      const exact = exactLine(checkIn)
      for (let i = 0; i < 13; i++) {
        worstExact = Math.max(worstExact, mixed(checkIn, exact, 'over', i))
        worstRough = Math.max(worstRough, mixed(checkIn, rough, 'over', i))
        apart.push(Math.abs(mixed(checkIn, exact, 'mean', i) - mixed(checkIn, rough, 'mean', i)))
      }
    }
    expect(screened).toBeGreaterThan(100)
    expect(worstExact).toBeLessThan(0.01)
    expect(worstRough).toBeLessThan(0.01)
    // People in line: nineteen times in twenty within three.
    expect(apart.sort((a, b) => a - b)[Math.floor(0.95 * apart.length)]).toBeLessThan(3)
  })

  it('has a chance within 0.05 of the exact one, however long the line', () => {
    let apart = 0
    for (let seed = 301; seed <= 360; seed++) {
      const { checkIn, logSd } = randomCheckIn(seed)
      const [exact, rough] = [exactLine(checkIn), roughLine(checkIn, logSd)]
      for (let i = 1; i < 13; i++)
        apart = Math.max(apart, Math.abs(mixed(checkIn, exact, 'over', i) - mixed(checkIn, rough, 'over', i)))
    }
    expect(apart).toBeGreaterThan(0)
    expect(apart).toBeLessThan(0.05)
  })

  it('holds everybody where nobody works, and says so for sure', () => {
    const steps = Array.from({ length: 3 }, () => ({ minutes: 10, arriving: 2, stations: 0 }))
    const factors = arrivalFactors(0).map(f => ({ ...f, inLine: 7 }))
    const { byFactor, low, high } = roughLine({ steps, perStation: 1, factors, over: [30, 30, 30, 30] }, 0)
    expect([...byFactor[0]!.mean]).toEqual([7, 27, 47, 67])
    expect([...byFactor[0]!.over]).toEqual([1, 1, 1, 1])
    // 67 ± 1.2816·√60
    expect([low[3], high[3]]).toEqual([57, 77])
  })

  it('has the band of the steady state where nobody stands in line by the fluid', () => {
    // M/M/1, load 0.8: P(more than n wait) = 0.8^(n+2); under 0.1 from n = 9 on.
    const steps = Array.from({ length: 12 }, () => ({ minutes: 10, arriving: 0.8, stations: 1 }))
    const line = roughLine(
      {
        steps,
        perStation: 1,
        factors: arrivalFactors(0).map(f => ({ ...f, inLine: 0 })),
        over: new Array(13).fill(30),
      },
      0,
    )
    expect([line.low[12], line.high[12]]).toEqual([0, 9])
  })
})
