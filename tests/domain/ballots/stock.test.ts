import { describe, expect, it } from 'vitest'
import { stock } from '../../../server/domain/ballots/stock.ts'
import { indexOf } from '../../../server/domain/plan/brief.ts'
import { aPlan, DAY } from '../../support/aPlan.ts'
import { at } from '../../support/given.ts'

const { brief } = indexOf(aPlan(), DAY)

describe('ballots left', () => {
  it('are those counted less the voters expected since', () => {
    const s = stock(brief, 1_000, { is: 500, asOf: at('08:30') }, null, at('11:30'))
    expect(s.left).toBeCloseTo(300, 6)
    expect(s.stillExpected).toBeCloseTo(600, 6)
  })

  it('run out when as many voters have come as ballots are left', () => {
    const s = stock(brief, 1_000, { is: 500, asOf: at('08:30') }, null, at('08:30'))
    expect(s.runsOutAt).toBe(at('15:00'))
  })

  it('last where they are enough', () => {
    expect(stock(brief, 1_000, { is: 800, asOf: at('08:30') }, null, at('08:30')).runsOutAt).toBeNull()
  })

  it('are gone now where the count has been used up', () => {
    const s = stock(brief, 1_000, { is: 10, asOf: at('08:30') }, null, at('11:30'))
    expect(s.left).toBe(0)
    expect(s.runsOutAt).toBe(at('11:30'))
  })

  it('go sooner where more have come than expected beyond doubt, never later than planned', () => {
    const counted = { is: 900, asOf: at('08:30') }
    const usual = stock(brief, 1_000, counted, null, at('08:30'))
    expect(
      stock(brief, 1_000, counted, { is: 400, asOf: at('08:30') }, at('08:30')).stillExpected,
    ).toBeCloseTo(1_440, 6)
    expect(stock(brief, 1_000, counted, { is: 40, asOf: at('08:30') }, at('08:30'))).toEqual(usual)
  })
})
