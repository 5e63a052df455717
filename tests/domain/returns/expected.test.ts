import { describe, expect, it } from 'vitest'
import { planHash } from '../../../server/cli/planFiles.ts'
import { expectedArrival, overdueAt } from '../../../server/domain/returns/expected.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import { aPlan } from '../../support/aPlan.ts'
import { at, givenPlan, type Said, says } from '../../support/given.ts'

const left = (precinct: string, time = '20:15') =>
  says(precinct, time, 'ReturnDeparted', { carriers: 2, items: ['a'], seals: [] })
const expected = (receiving: string[] | undefined, precinct: string, ...said: Said[]) => {
  const day = givenPlan(aPlan({ receiving }), ...said)
  return expectedArrival(day.p(precinct), day.index)
}

describe('the expected arrival of a return', () => {
  it('is its departure and the straight line × detour ÷ speed, to the whole minute after', () => {
    // Mill School 41.62 −70.70 to Harbor Hall 41.50 −70.60. By hand, on a sphere of 6371.0088 km and with the
    // middle latitude: 0.12° north = 13.3434 km, 0.10° east × cos 41.56° = 8.3203 km, hypotenuse 15.725 km;
    // × 1.35 ÷ 45 km/h = 28.3 minutes.
    expect(expected(['PL-01'], 'E-02', left('E-02'))).toEqual({ at: at('20:44'), place: 'PL-01' })
  })

  it('is reckoned to the nearest of several receiving places', () => {
    expect(expected(['PL-01', 'PL-03'], 'E-03', left('E-03'))).toEqual({ at: at('20:15'), place: 'PL-03' })
    expect(expected(['PL-03', 'PL-01'], 'E-02', left('E-02'))?.place).toBe('PL-01')
  })

  it('is not given before it left, nor once it is here, nor where the plan names no receiving place', () => {
    expect(expected(['PL-01'], 'E-02')).toBeNull()
    const here = says('E-02', '20:40', 'ReturnReceived', { items: [], seals: [] })
    expect(expected(['PL-01'], 'E-02', left('E-02'), here)).toBeNull()
    expect(expected(undefined, 'E-02', left('E-02'))).toBeNull()
  })
})

describe('a return is overdue', () => {
  const due = (...said: Said[]) => {
    const day = givenPlan(aPlan({ policy: { returnOverdueMinutes: 50 } }), ...said)
    return overdueAt(day.p('E-01'), day.index)
  }
  it('policy’s minutes after it left', () => {
    expect(due(left('E-01', '20:15'))).toBe(at('20:15') + 50 * MINUTE)
  })
  it('or, not having left, at the hour by which all are due', () => {
    expect(due()).toBe(at('22:00'))
  })
})

describe('a plan that names no receiving place', () => {
  it('has the hash it had before there was such a field', () => {
    expect(Object.hasOwn(aPlan(), 'receiving')).toBe(false)
    expect(planHash(aPlan({ receiving: undefined }))).toBe(planHash(aPlan()))
    expect(planHash(aPlan({ receiving: ['PL-01'] }))).not.toBe(planHash(aPlan()))
  })
})
