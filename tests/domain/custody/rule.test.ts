import { describe, expect, it } from 'vitest'
import { custodyOf } from '../../../server/domain/custody/custody.ts'
import { sealsWrong, sealWorkOf } from '../../../server/domain/custody/sealWork.ts'
import { LIMITS } from '../../../server/domain/day/state.ts'
import type { Body } from '../../../server/domain/log/kinds.ts'
import { aPlan } from '../../support/aPlan.ts'
import { at, given, givenPlan, type Said, says } from '../../support/given.ts'
import { endedIn, judging, more, raisedIn } from '../calls/judging.ts'

const seal = (time: string, container: string, found: string, act?: 'applied' | 'removed') =>
  says('E-01', time, 'SealRecorded', { container, found, state: 'intact', ...(act ? { act } : {}) })
const opened = (time: string) => says('E-01', time, 'BallotBoxOpened', { reason: 'straighten', byTwo: true })

/** The usual plan, with a seal on the ballot box in the morning and one on the bag in the evening. */
const plan = aPlan({
  seals: [
    { precinct: 'E-01', container: 'ballot-box', number: 'N-1' },
    { precinct: 'E-01', container: 'bag', number: 'N-2', phase: 'closing' },
  ],
})
const day = (...said: Said[]) => givenPlan(plan, ...said)
const KEY = 'seal-different:E-01:ballot-box'
const raisedAt = (when: string, ...said: Said[]) =>
  raisedIn(judging(day(...said)).at(when), 'seal-different').map(r => [r.key, r.at])

describe('a seal that differs', () => {
  it('is raised for no seal that was taken off and replaced, and for the planned number after it', () => {
    const replaced = [
      seal('05:50', 'ballot-box', 'N-1'),
      seal('05:51', 'ballot-box', 'N-1', 'removed'),
      seal('05:52', 'ballot-box', 'M-7', 'applied'),
    ]
    expect(raisedAt('06:00', ...replaced, seal('05:55', 'ballot-box', 'm-7'))).toEqual([])
    const again = day(...replaced, seal('05:55', 'ballot-box', 'N-1'))
    expect(raisedIn(judging(again).at('06:00'), 'seal-different')).toEqual([{ key: KEY, at: at('05:55') }])
    const { evidence } = judgedReason(again)
    expect(evidence).toMatchObject({ planned: 'M-7', found: 'N-1', state: 'intact' })
  })

  it('has the plan’s number to stand beside it where nothing was put on', () => {
    const made = day(seal('05:50', 'ballot-box', 'X-9', 'removed'))
    judging(made).at('05:51')
    expect(judgedReason(made).evidence).toMatchObject({ planned: 'N-1', found: 'X-9', act: 'removed' })
  })

  it('is told to the precinct’s page by its container', () => {
    const made = day(seal('05:50', 'ballot-box', 'X-9'), seal('20:00', 'bag', 'N-2', 'applied'))
    expect(sealsWrong(made.p('E-01'), made.index.precincts.get('E-01')!)).toEqual(['ballot-box'])
  })
})

describe('a ballot box that was opened while people vote', () => {
  const voting = [seal('05:50', 'ballot-box', 'N-1'), says('E-01', '06:30', 'PollsOpened', {})]

  it('is raised a quarter of an hour later to the instant where no new seal is on record', () => {
    const said = [...voting, opened('12:00')]
    expect(raisedAt('12:14:59', ...said)).toEqual([])
    expect(raisedAt('12:15', ...said)).toEqual([[KEY, at('12:15')]])
    expect(raisedAt('12:16', ...said)).toEqual([[KEY, at('12:15')]])
  })

  it('counts from when its seal was taken off, and ends by the new seal', () => {
    const made = day(...voting, seal('11:58', 'ballot-box', 'N-1', 'removed'), opened('12:00'))
    const judged = judging(made)
    expect(raisedIn(judged.at('12:13'), 'seal-different')).toEqual([{ key: KEY, at: at('12:13') }])
    more(made, seal('12:20', 'ballot-box', 'M-8', 'applied'))
    expect(endedIn(judged.at('12:20')).map(e => e.key)).toContain(KEY)
  })

  it('is not raised where it was sealed anew, opened before the polls or at closing, or only unsealed', () => {
    expect(
      raisedAt('12:30', ...voting, opened('12:00'), seal('12:05', 'ballot-box', 'M-8', 'applied')),
    ).toEqual([])
    expect(raisedAt('07:00', opened('05:55'), ...voting.slice(1))).toEqual([])
    expect(raisedAt('20:30', ...voting, says('E-01', '19:31', 'PollsClosed', {}), opened('19:40'))).toEqual(
      [],
    )
    expect(raisedAt('12:30', ...voting, seal('11:58', 'ballot-box', 'N-1', 'removed'))).toEqual([])
  })

  it('is not raised where no seal of it is known', () => {
    const made = given(says('E-01', '06:30', 'PollsOpened', {}), opened('12:00'))
    expect(raisedIn(judging(made).at('13:00'), 'seal-different')).toEqual([])
  })
})

describe('the record of seals', () => {
  it('keeps what was put on apart from what was found, and a box’s opening under its own name', () => {
    const made = day(
      seal('05:50', 'ballot-box', 'N-1'),
      seal('05:51', 'ballot-box', 'M-7', 'applied'),
      opened('12:00'),
    )
    expect(made.p('E-01').seals['ballot-box']!.is.found).toBe('N-1')
    expect(sealWorkOf(made.p('E-01')).map(w => [w.container, w.act, w.number])).toEqual([
      ['ballot-box', 'found', 'N-1'],
      ['ballot-box', 'applied', 'M-7'],
      ['ballot-box', 'opened', null],
    ])
  })

  it('keeps the latest of more work than it may hold, in whatever order it came', () => {
    const said = Array.from({ length: LIMITS.sealWork + 5 }, (_, i) =>
      seal(`0${6 + Math.floor(i / 60)}:${String(i % 60).padStart(2, '0')}`, 'box', `S-${i}`),
    )
    const [forth, back] = [
      given(...said),
      given(...said.toReversed().map((s, i) => ({ ...s, source: `command:${i}` }))),
    ]
    const kept = (made: typeof forth) => sealWorkOf(made.p('E-01')).map(w => w.number)
    expect(kept(forth)).toHaveLength(LIMITS.sealWork)
    expect(kept(forth)[0]).toBe('S-5')
    expect(kept(back)).toEqual(kept(forth))
  })

  it('goes on with the journey: a check-in counts seals, a tablet that says "received" none', () => {
    const left = says('E-01', '20:10', 'ReturnDeparted', { carriers: 2, items: [], seals: ['N-2'] })
    const received = (seals: string[], how: Parameters<typeof says>[4]) =>
      says('E-01', '21:00', 'ReturnReceived', { items: [], seals } as Body<'ReturnReceived'>, how)
    const bag = (...said: Said[]) => {
      const made = day(seal('20:00', 'bag', 'N-2', 'applied'), left, ...said)
      return custodyOf(made.p('E-01'), made.index.precincts.get('E-01')!)[1]!.links.map(l => [
        l.act,
        ...l.gaps,
      ])
    }
    expect(bag(received([], {}))).toEqual([['applied'], ['left'], ['received']])
    expect(bag(received(['X-1'], { via: 'paper' }))).toEqual([
      ['applied'],
      ['left'],
      ['received', 'received-different'],
    ])
  })
})

function judgedReason(made: ReturnType<typeof given>) {
  return made.p('E-01').reasons[KEY]!
}
