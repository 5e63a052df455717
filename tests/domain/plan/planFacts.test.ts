import { describe, expect, it } from 'vitest'
import { ballotsWords, plannedWords } from '../../../app/desk/plannedWords.ts'
import { canonicalPlan } from '../../../server/domain/plan/hash.ts'
import { aPlan, type PlanInput } from '../../support/aPlan.ts'
import { at, givenPlan, opening, type Said, says } from '../../support/given.ts'
import { judging } from '../calls/judging.ts'

type Precinct = PlanInput['precincts'][number]

/** aPlan with one precinct changed. */
function planWith(code: string, changes: Partial<Precinct>, equipment?: PlanInput['equipment']) {
  const base = aPlan()
  return aPlan({
    precincts: base.precincts.map(p => (p.code === code ? { ...p, ...changes } : p)),
    ...(equipment ? { equipment } : {}),
  })
}

describe('new facts of a plan', () => {
  it('leave the text of a plan that doesn’t give them as it was', () => {
    const text = canonicalPlan(aPlan())
    for (const name of ['serves', 'counted', 'sheets', 'line']) expect(text).not.toContain(`"${name}"`)
    expect(canonicalPlan(planWith('E-01', { sheets: 2 }))).toContain('"sheets":2')
  })
})

describe('a vote center', () => {
  const plan = planWith('E-01', { serves: 'everyone', registered: 0 })
  const { brief } = givenPlan(plan).index

  it('has no registered voters on a board, so that no share is made of them', () => {
    expect(brief.precincts.map(p => [p.code, p.registered])).toEqual([
      ['E-01', null],
      ['E-02', 4_800],
      ['E-03', 600],
    ])
    expect(plannedWords('E-01', brief)).toBe(
      'Vote center for everyone, 1,000 expected, 1,200 ballots, 3 check-in stations',
    )
    expect(plannedWords('E-03', brief)).toMatch(/^600 registered, 300 expected/)
  })

  it('is judged by voters expected like any other: turnout against expectation stands', () => {
    const day = givenPlan(plan, says('E-01', '09:00', 'CountsReported', { checkedIn: 240 }))
    expect(day.row('E-01').expectedThen).toBe(233)
  })
})

describe('a precinct whose ballots are counted centrally', () => {
  const equipment: PlanInput['equipment'] = [
    ...aPlan().equipment.filter(e => e.tag !== 'T-01'),
    { tag: 'B-01', precinct: 'E-01', kind: 'ballot-box' },
  ]
  const day = (...said: Said[]) => givenPlan(planWith('E-01', { counted: 'centrally' }, equipment), ...said)

  it('has no tape among its steps, and is ready without one', () => {
    const { opening: steps } = day().index.precincts.get('E-01')!
    expect(steps.map(s => s.code)).toEqual(['team', 'ballots', 'seals', 'box', 'tabulator', 'roster'])
    expect(day(...opening('E-01', [])).standing('E-01')).toBe('ready')
  })

  it('is never told of a forgotten slot, since no tabulator can work again', () => {
    const said = [
      says('E-01', '06:30', 'PollsOpened', {}),
      says('E-01', '06:45', 'EmergencySlotOpened', {}),
      says('E-01', '07:00', 'LineReported', { inLine: 1 }),
    ]
    const central = day(...said)
    judging(central).at('07:04')
    expect(Object.keys(central.p('E-01').reasons)).not.toContain('slot-forgotten:E-01')
    const here = givenPlan(aPlan(), ...opening(), ...said)
    judging(here).at('07:04')
    expect(Object.keys(here.p('E-01').reasons)).toContain('slot-forgotten:E-01')
  })

  it('says so on the board', () => {
    expect(plannedWords('E-01', day().index.brief)).toContain('counted centrally, no tabulator here')
  })
})

describe('ballots of several sheets', () => {
  it('leave the public count in sheets and say how many ballots that is', () => {
    const day = givenPlan(
      planWith('E-02', { sheets: 2 }),
      says('E-02', '10:00', 'CountsReported', { checkedIn: 250, publicCount: { 'T-02': 300, 'T-12': 183 } }),
    )
    expect(day.row('E-02').publicCount).toEqual({ is: 483, asOf: at('10:00') })
    expect(ballotsWords(483, 2)).toBe('sheets: about 242 ballots of 2')
    expect(ballotsWords(483, 1)).toBeUndefined()
    expect(plannedWords('E-02', day.index.brief)).toContain('2,400 ballots of 2 sheets')
  })
})

describe('several tabulators at one precinct', () => {
  it('are each verified, counted and told apart, and their sheets are summed', () => {
    const said = [
      ...opening('E-02', ['T-02']),
      says('E-02', '06:28', 'PollsOpened', {}),
      says('E-02', '07:00', 'CountsReported', { publicCount: { 'T-02': 40 } }),
      says('E-02', '07:10', 'CountsReported', { publicCount: { 'T-12': 5 } }),
    ]
    const day = givenPlan(aPlan(), ...said)
    expect(day.row('E-02')).toMatchObject({ tape: 'none', publicCount: { is: 45, asOf: at('07:00') } })
    const both = givenPlan(
      aPlan(),
      ...said,
      says('E-02', '07:20', 'OpeningTapeVerified', { tabulator: 'T-12' }),
    )
    expect(both.row('E-02').tape).toBe('verified')
  })
})

describe('precincts that stand in one line', () => {
  it('are named with each other, in words and in the index', () => {
    const base = aPlan()
    const plan = aPlan({
      places: base.places.map(p => (p.code === 'PL-01' ? { ...p, line: 'shared' as const } : p)),
      precincts: base.precincts.map(p => (p.code === 'E-03' ? { ...p, place: 'PL-01' } : p)),
    })
    const { index } = givenPlan(plan)
    expect(['E-01', 'E-02', 'E-03'].map(c => index.precincts.get(c)!.sharesLine)).toEqual([
      ['E-01', 'E-03'],
      null,
      ['E-01', 'E-03'],
    ])
    expect(plannedWords('E-01', index.brief)).toContain('one line with Gull Island')
  })

  it('is a line of its own where nobody else is at the place', () => {
    const plan = aPlan({ places: aPlan().places.map(p => ({ ...p, line: 'shared' as const })) })
    const { index } = givenPlan(plan)
    expect(index.precincts.get('E-01')!.sharesLine).toBeNull()
  })
})
