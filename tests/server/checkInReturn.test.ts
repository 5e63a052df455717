import { describe, expect, it } from 'vitest'
import type { Person } from '../../server/access/access.ts'
import type { Deciding } from '../../server/commands/decide.ts'
import { checkInReturn } from '../../server/commands/returns.ts'
import { returnsAnswer } from '../../server/outputs/returnAnswers.ts'
import { type CommandBody, commandBodies } from '../../server/protocol/command.ts'
import { returnsAnswer as answerSchema } from '../../server/protocol/returns.ts'
import { aPlan } from '../support/aPlan.ts'
import { at, type Given, givenPlan, type Said, says } from '../support/given.ts'

const NELL: Person = { id: 'nell', name: 'Nell', role: 'receiving', post: 'PL-01' }
const IMRE: Person = { id: 'imre', name: 'Imre', role: 'desk' }
const nameOf = (id: string) => ({ nell: 'Nell', imre: 'Imre' })[id] ?? 'somebody'

const left = says('E-01', '20:15', 'ReturnDeparted', { carriers: 2, items: ['case'], seals: ['R-1', 'R-2'] })
const evening = (...said: Said[]) => givenPlan(aPlan({ receiving: ['PL-01', 'PL-02'] }), left, ...said)

function deciding(day: Given, person: Person = NELL, time = '20:50'): Deciding {
  return {
    state: day.state,
    index: day.index,
    person,
    id: '0b8e4c1e-0000-4000-8000-000000000001',
    now: at(time),
    elapsed: ms => ms,
    nameOf,
  }
}
const body = (changes: Partial<CommandBody<'CheckInReturn'>> = {}): CommandBody<'CheckInReturn'> => ({
  precinct: 'E-01',
  items: ['case'],
  seals: ['R-1', 'R-2'],
  carriers: 2,
  ...changes,
})
const decided = (day: Given, changes = {}, person?: Person, time?: string) =>
  checkInReturn(body(changes), deciding(day, person, time))
const problems = (changes: Partial<CommandBody<'CheckInReturn'>>) => {
  const answer = decided(evening(), changes)
  return 'refusal' in answer ? answer.refusal.problems : null
}

describe('checking in a return', () => {
  it('writes what was found; who brought it is kept apart, where it can be taken back', () => {
    expect(decided(evening(), { deliveredBy: 'Two clerks', note: 'bag torn' })).toEqual({
      entries: [
        expect.objectContaining({
          kind: 'ReturnReceived',
          precinct: 'E-01',
          occurredAt: at('20:50'),
          origin: { via: 'desk', wrote: 'nell' },
          body: { items: ['case'], seals: ['R-1', 'R-2'], carriers: 2, station: 'PL-01' },
          detail: { deliveredBy: 'Two clerks', note: 'bag torn' },
        }),
      ],
    })
  })

  it('is at the station where the clerk is posted, unless they say another; the desk’s is where they say', () => {
    const station = (changes: object, person: Person) => {
      const answer = decided(evening(), changes, person)
      return 'entries' in answer ? (answer.entries[0]!.body as { station?: string }).station : answer
    }
    expect(station({}, NELL)).toBe('PL-01')
    expect(station({ station: 'PL-02' }, NELL)).toBe('PL-02')
    expect(station({}, IMRE)).toBeUndefined()
    expect(station({}, { ...NELL, post: 'gone' })).toBeUndefined()
    expect(station({}, { ...IMRE, role: 'rover', post: 'PL-01' })).toBeUndefined()
  })

  it.each<[string, Partial<CommandBody<'CheckInReturn'>>, Array<[string, string]>]>([
    ['nothing at all', { items: [], seals: [] }, [['body.items', 'at least one item or one seal']]],
    ['a seal twice', { seals: ['R-1', 'r-1 '] }, [['body.seals.1', 'r-1  stands in the list twice']]],
    [
      'an item twice',
      { items: ['case', 'bag', 'case'] },
      [['body.items.2', 'case stands in the list twice']],
    ],
    ['a station that is no place', { station: 'PL-99' }, [['body.station', 'a place of this day’s plan']]],
  ])('refuses %s by its field', (_, changes, expected) => {
    expect(problems(changes)).toEqual(expected.map(([path, message]) => ({ path, message })))
  })

  it('takes seals alone, items alone, and what nobody sent: what differs is no mistake of the clerk', () => {
    for (const changes of [{ items: [] }, { seals: [] }, { items: ['hat'], seals: ['X'] }])
      expect(decided(evening(), changes)).toHaveProperty('entries')
  })

  it('41 items or seals, no carriers or seven are refused at the door', () => {
    const parse = (changes: object) =>
      commandBodies.CheckInReturn.safeParse({ ...body(), ...changes }).success
    const many = (n: number) => Array.from({ length: n }, (_, i) => `n-${i}`)
    expect(parse({ items: many(40), seals: many(40) })).toBe(true)
    for (const changes of [{ items: many(41) }, { seals: many(41) }, { carriers: 0 }, { carriers: 7 }])
      expect(parse(changes)).toBe(false)
  })

  it('of a precinct that the plan hasn’t is refused', () => {
    expect(decided(evening(), { precinct: 'E-99' })).toMatchObject({
      refusal: { reason: 'unknown-precinct' },
    })
  })
})

describe('a return that is here already', () => {
  const here = says(
    'E-01',
    '20:50',
    'ReturnReceived',
    { items: [], seals: ['R-1'], carriers: 2 },
    { via: 'desk', wrote: 'imre' },
  )

  it('of two clerks the second is told who has checked it in and when', () => {
    expect(decided(evening(here), {}, NELL, '20:51')).toEqual({
      refusal: { reason: 'other-state', message: 'Imre checked this return in at 20:50', by: 'Imre' },
    })
  })

  it('is checked in anew by who has seen what stands', () => {
    const day = evening(here)
    expect(day.p('E-01').received!.is.position).toBe(2)
    expect(decided(day, { replaces: 2 }, NELL, '21:00')).toMatchObject({
      entries: [{ occurredAt: at('21:00'), body: expect.not.objectContaining({ replaces: 2 }) }],
    })
    expect(decided(day, { replaces: 1 }, NELL, '21:00')).toMatchObject({ refusal: { reason: 'other-state' } })
  })

  it('checked in anew while the practice clock stands still, the later one stands all the same', () => {
    expect(decided(evening(here), { replaces: 2 }, NELL, '20:50')).toMatchObject({
      entries: [{ occurredAt: at('20:50') + 1 }],
    })
  })

  it('by its own tablet’s word is told so, by nobody’s name', () => {
    const word = says('E-01', '20:50', 'ReturnReceived', { items: [], seals: [] })
    expect(decided(evening(word), {}, NELL, '20:51')).toEqual({
      refusal: { reason: 'other-state', message: 'this return was said to be received at 20:50' },
    })
  })
})

describe('what the receiving table is told', () => {
  const answer = (time: string, ...said: Said[]) => {
    const day = evening(...said)
    const told = returnsAnswer(
      { day: 'd', index: day.index, now: () => at(time), state: () => day.state },
      nameOf,
    )
    expect(answerSchema.parse(told)).toEqual(told)
    return told
  }
  const one = (time: string, ...said: Said[]) =>
    answer(time, ...said).returns.find(r => r.precinct === 'E-01')!

  it('P14 of a return under way: items by name and how many seals, never their numbers', () => {
    const told = answer('20:30')
    expect(JSON.stringify(told)).not.toMatch(/R-1|R-2|S-01/)
    expect(one('20:30')).toMatchObject({
      name: 'Harbor',
      standing: 'returning',
      departedAt: '2026-11-04T01:15:00.000Z',
      expected: { at: '2026-11-04T01:15:00.000Z', place: { code: 'PL-01', name: 'Harbor Hall' } },
      overdueAt: '2026-11-04T02:45:00.000Z',
      overdue: false,
      sent: { said: true, items: ['case'], seals: 2, carriers: 2 },
      received: null,
      difference: null,
    })
    expect(told.stations.map(s => s.name)).toEqual(['Harbor Hall', 'Mill School'])
  })

  it('is overdue at its minute, and not a millisecond before', () => {
    expect(one('21:44:59').overdue).toBe(false)
    expect(one('21:45').overdue).toBe(true)
  })

  it('of a return that is here: how it compares, its receipt, how many brought it, and not who', () => {
    const told = one(
      '21:00',
      says(
        'E-01',
        '20:50',
        'ReturnReceived',
        { items: ['case'], seals: ['R-1', 'R-9'], carriers: 1, station: 'PL-01' },
        { via: 'desk', wrote: 'nell' },
      ),
    )
    expect(told).toMatchObject({
      overdue: false,
      expected: null,
      received: { by: 'Nell', carriers: 1, receipt: 'R-2', position: 2, station: { name: 'Harbor Hall' } },
      difference: { itemsMissing: [], itemsExtra: [], sealsMissing: ['R-2'], sealsExtra: ['R-9'] },
    })
    expect(told.received).not.toHaveProperty('deliveredBy')
  })

  it('gives only the precincts that are asked for, and none that the plan hasn’t', () => {
    const day = evening()
    const told = (only: string[]) =>
      returnsAnswer({ day: 'd', index: day.index, now: () => 0, state: () => day.state }, nameOf, only)
        .returns
    expect(told(['E-02', 'E-99']).map(r => r.precinct)).toEqual(['E-02'])
    expect(told([])).toHaveLength(3)
  })
})
