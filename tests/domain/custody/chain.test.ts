import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  chainOf,
  type Expects,
  type Gap,
  type Journey,
  type Work,
} from '../../../server/domain/custody/chain.ts'
import { plainSeal } from '../../../server/domain/returns/plainSeal.ts'

/**
 * Chains worked out by hand. Common practice of the trade: a seal taken off is recorded, the new one too; the number on
 * the container is the last on record.
 */

const expects = (when: Expects['when'], number = 'A1'): Expects => ({
  when,
  is: other => when !== null && plainSeal(other) === plainSeal(number),
})
const MORNING = expects('morning')
const EVENING = expects('evening')

type Said = [at: number, act: Work['act'], number?: string, state?: Work['state']]
const work = (...said: Said[]): Work[] =>
  said.map(([at, act, number, state]) => ({ at, act, number: number ?? null, state: state ?? 'intact' }))
/** Each link as "act number: gaps". */
const told = (made: ReturnType<typeof chainOf>) =>
  made.links.map(l => `${l.act} ${l.number ?? '–'}${l.gaps.length ? `: ${l.gaps.join(', ')}` : ''}`)

describe('the chain of a container that is sealed in the morning', () => {
  it('has no gap where the planned seal was found, taken off and another put on', () => {
    const made = chainOf(
      'box',
      work([1, 'found', ' a1'], [2, 'removed', 'A1'], [3, 'applied', 'B2'], [4, 'found', 'B2']),
      MORNING,
    )
    expect(told(made)).toEqual(['found  a1', 'removed A1', 'applied B2', 'found B2'])
    expect(made).toMatchObject({ gaps: [], wrong: null, openSince: null })
  })

  it('may have two seals in place of one, and stands open only when both are off', () => {
    const two = work(
      [1, 'found', 'A1'],
      [2, 'removed', 'A1'],
      [3, 'applied', 'B2'],
      [4, 'applied', 'C3'],
      [5, 'found', 'C3'],
    )
    expect(chainOf('box', two, MORNING)).toMatchObject({ wrong: null, openSince: null })
    const one = [...two, ...work([6, 'removed', 'B2'])]
    expect(chainOf('box', one, MORNING)).toMatchObject({ wrong: null, openSince: null })
    const none = [...one, ...work([7, 'removed', 'C3'])]
    expect(chainOf('box', none, MORNING).openSince).toBe(7)
  })

  it('marks a number that nobody put on, until the seal is looked at again and is right', () => {
    const wrong = work([1, 'found', 'X9'])
    expect(told(chainOf('box', wrong, MORNING))).toEqual(['found X9: different'])
    expect(chainOf('box', wrong, MORNING).wrong).toMatchObject({ link: { number: 'X9' }, against: [null] })
    expect(chainOf('box', [...wrong, ...work([2, 'found', 'A1'])], MORNING).wrong).toBeNull()
  })

  it('does not take a new seal as the answer to a wrong number on the old one', () => {
    const made = work([1, 'found', 'A1'], [2, 'removed', 'X9'], [3, 'applied', 'B2'])
    expect(chainOf('box', made, MORNING).wrong?.link).toMatchObject({ act: 'removed', number: 'X9' })
    expect(chainOf('box', [...made, ...work([4, 'found', 'B2'])], MORNING).wrong).toBeNull()
  })

  it('after a replacement expects the new number, and the planned one is against expectation', () => {
    const made = chainOf('box', work([1, 'removed', 'A1'], [2, 'applied', 'B2'], [3, 'found', 'A1']), MORNING)
    expect(told(made).at(-1)).toBe('found A1: different')
    expect(made.wrong?.against).toEqual(['B2'])
  })

  it('marks a seal that is found again after it was taken off', () => {
    const made = chainOf('box', work([1, 'removed', 'A1'], [2, 'found', 'A1']), MORNING)
    expect(told(made)).toEqual(['removed A1: open-since', 'found A1: different'])
  })

  it.each(['broken', 'missing'] as const)('marks a seal that is %s; a new one mends it', state => {
    const made = work([1, 'found', 'A1', state])
    expect(told(chainOf('box', made, MORNING))).toEqual([`found A1: ${state}`])
    expect(chainOf('box', made, MORNING).wrong?.link.state).toBe(state)
    expect(chainOf('box', [...made, ...work([2, 'applied', 'B2'])], MORNING).wrong).toBeNull()
  })

  it('stands open from when it was opened until a new seal is put on', () => {
    const opened = work([1, 'found', 'A1'], [5, 'opened'])
    expect(chainOf('box', opened, MORNING).openSince).toBe(5)
    expect(told(chainOf('box', opened, MORNING))).toEqual(['found A1', 'opened –: open-since'])
    expect(chainOf('box', [...opened, ...work([6, 'applied', 'B2'])], MORNING).openSince).toBeNull()
  })

  it('takes the old number as read off where it is told after the opening, and as whole where it is seen again', () => {
    const opened = work([1, 'found', 'A1'], [5, 'opened'])
    const off = chainOf('box', [...opened, ...work([5, 'removed', 'A1'], [6, 'applied', 'B2'])], MORNING)
    expect(told(off)).toEqual(['found A1', 'opened –', 'removed A1', 'applied B2'])
    const whole = chainOf('box', [...opened, ...work([7, 'found', 'A1'])], MORNING)
    expect(whole).toMatchObject({ openSince: null, wrong: null })
  })

  it('was not looked at where nobody compared it, or only after something had been done to it', () => {
    expect(chainOf('box', [], MORNING).gaps).toEqual(['not-looked-at'])
    expect(chainOf('box', work([1, 'opened'], [2, 'found', 'A1']), MORNING).gaps).toEqual(['not-looked-at'])
    expect(chainOf('box', work([1, 'removed', 'A1']), MORNING).gaps).toEqual([])
  })

  it('makes no journey unless its number went along', () => {
    const stays: Journey = { left: { at: 8, seals: ['Z1'] }, received: { at: 9, seals: ['Z1'] } }
    expect(told(chainOf('door', work([1, 'found', 'A1']), MORNING, stays))).toEqual(['found A1'])
    const goes: Journey = { left: { at: 8, seals: ['a 1'] }, received: { at: 9, seals: ['Z1'] } }
    expect(told(chainOf('door', work([1, 'found', 'A1']), MORNING, goes))).toEqual([
      'found A1',
      'left a 1',
      'received a 1: received-different',
    ])
  })
})

describe('the chain of a container that is sealed in the evening', () => {
  const sealed = work([7, 'applied', 'A1'])
  const end = (left: string[] | null, received: string[] | null): Journey => ({
    left: { at: 8, seals: left },
    received: { at: 9, seals: received },
  })

  it('is whole where its number was put on, went along and was received', () => {
    const made = chainOf('bag', sealed, EVENING, end(['A1', 'Z9'], ['a 1', 'Z9']))
    expect(told(made)).toEqual(['applied A1', 'left A1', 'received A1'])
    expect(made).toMatchObject({ gaps: [], wrong: null })
  })

  it('gets the planned seal first: another is a difference until the planned one is put on or it is looked at', () => {
    const other = work([7, 'applied', 'B2'])
    expect(told(chainOf('bag', other, EVENING))).toEqual(['applied B2: different'])
    expect(chainOf('bag', [...other, ...work([8, 'applied', 'C3'])], EVENING).wrong?.link.number).toBe('C3')
    expect(chainOf('bag', [...other, ...work([8, 'applied', 'A1'])], EVENING).wrong).toBeNull()
    expect(chainOf('bag', [...other, ...work([8, 'found', 'B2'])], EVENING).wrong).toBeNull()
    const renewed = work([7, 'applied', 'A1'], [8, 'removed', 'A1'], [9, 'applied', 'B2'])
    expect(chainOf('bag', renewed, EVENING)).toMatchObject({ wrong: null, openSince: null })
  })

  it.each<[string, Work[], Journey, string[]]>([
    ['unsealed', [], end(['Z9'], ['Z9']), ['left –: left-unsealed', 'received –']],
    ['sealed by a number that the return names alone', [], end(['A1'], ['A1']), ['left A1', 'received A1']],
    ['with nothing said of it at all', [], end(null, null), ['left –', 'received –']],
    [
      'and is received without the planned number',
      [],
      end(null, ['Z9']),
      ['left –', 'received –: received-different'],
    ],
    ['unnamed', sealed, end(['Z9'], ['A1']), ['applied A1', 'left A1: not-in-return', 'received A1']],
    [
      'and arrives with another',
      sealed,
      end(['A1'], ['B2']),
      ['applied A1', 'left A1', 'received A1: received-different'],
    ],
    [
      'with its seal off',
      work([7, 'applied', 'A1'], [7.5, 'removed', 'A1']),
      end([], null),
      ['applied A1', 'removed A1: open-since', 'left –: left-unsealed', 'received –'],
    ],
  ])('leaves %s', (_, made, journey, links) => {
    expect(told(chainOf('bag', made, EVENING, journey))).toEqual(links)
  })
})

describe('a container that the plan has no number for', () => {
  it('is compared with what was put on it, and with nothing before', () => {
    const none = expects(null)
    expect(chainOf('case', work([1, 'found', 'X1'], [2, 'found', 'X2']), none)).toMatchObject({
      gaps: [],
      wrong: null,
    })
    expect(told(chainOf('case', work([1, 'applied', 'X1'], [2, 'found', 'X2']), none))).toEqual([
      'applied X1',
      'found X2: different',
    ])
    expect(chainOf('case', work([1, 'opened']), none)).toMatchObject({ openSince: null, wrong: null })
  })
})

const GAPS: Gap[] = [
  'different',
  'broken',
  'missing',
  'open-since',
  'not-looked-at',
  'left-unsealed',
  'not-in-return',
  'received-different',
]
const number = fc.constantFrom('A1', 'a 1', 'B2', 'C3')
const anyWork = fc.record<Work>({
  at: fc.integer({ min: 0, max: 10 }),
  act: fc.constantFrom('found', 'removed', 'applied', 'opened'),
  number: fc.option(number),
  state: fc.constantFrom('intact', 'broken', 'missing'),
})
const stage = fc.option(
  fc.record({ at: fc.integer({ min: 0, max: 10 }), seals: fc.option(fc.array(number, { maxLength: 3 })) }),
)

describe('any chain', () => {
  it('loses no work, invents none, and keeps the order of time, and within an instant the order given', () => {
    fc.assert(
      fc.property(
        fc.array(anyWork, { maxLength: 12 }),
        fc.constantFrom('morning', 'evening', null),
        stage,
        stage,
        (done, when, left, received) => {
          const made = chainOf('box', done, expects(when), { left, received })
          const kept = made.links.filter(l => l.act !== 'left' && l.act !== 'received')
          const wanted = [...done].sort((a, b) => a.at - b.at)
          expect(kept.map(({ gaps: _, ...one }) => one)).toEqual(wanted)
          const times = made.links.map(l => l.at)
          expect(times).toEqual([...times].sort((a, b) => a - b))
          for (const gap of made.links.flatMap(l => l.gaps)) expect(GAPS).toContain(gap)
          if (made.openSince !== null) expect(times).toContain(made.openSince)
          if (made.wrong)
            expect(
              made.links.map(l => ({ ...l, gaps: l.gaps.filter(g => g !== 'open-since') })),
            ).toContainEqual(made.wrong.link)
        },
      ),
      { seed: 7, numRuns: 200 },
    )
  })
})
