import { describe, expect, it } from 'vitest'
import { indexOf } from '../../server/domain/plan/brief.ts'
import { dayRoutes } from '../../server/http/dayRoutes.ts'
import { type AnsweredDay, phonesAnswer } from '../../server/outputs/dayAnswers.ts'
import { aPlan, DAY } from '../support/aPlan.ts'

describe('telephone numbers for the situation sheet', () => {
  it('gives every precinct its contacts, and the place where it has a number of its own', () => {
    const plan = aPlan()
    plan.places[0]!.phone = '555-0190'
    const { phones } = phonesAnswer({ index: indexOf(plan, DAY) } as AnsweredDay)
    expect(Object.keys(phones)).toEqual(['E-01', 'E-02', 'E-03'])
    expect(phones['E-01']).toEqual([
      { role: 'precinct lead', name: 'Lead one', phone: '555-0101' },
      { role: 'place', name: 'Harbor Hall', phone: '555-0190' },
    ])
    expect(phones['E-03']!.map(p => p.role)).not.toContain('place')
  })

  it('P14 keeps them from rovers', () => {
    const routes = dayRoutes({} as Parameters<typeof dayRoutes>[0])
    const route = routes.find(r => r.pattern === '/api/v1/days/:day/phones')
    expect(route!.who).toEqual(['desk', 'supervisor'])
  })
})
