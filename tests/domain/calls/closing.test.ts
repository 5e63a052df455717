import { describe, expect, it } from 'vitest'
import { reasonWords } from '../../../server/domain/calls/words.ts'
import { aPlan } from '../../support/aPlan.ts'
import { at, desk, givenPlan, type How, type Said, says } from '../../support/given.ts'
import { endedIn, judging, more, raisedIn } from './judging.ts'

const KEY = 'return-different:E-01'
const left = says('E-01', '20:15', 'ReturnDeparted', { carriers: 2, items: ['case'], seals: ['R-1', 'R-2'] })
const here = (time: string, seals: string[], items = ['case']) =>
  says('E-01', time, 'ReturnReceived', { items, seals }, { via: 'desk', wrote: 'nell' })
const logged = (time: string, outcome: 'solved' | 'watching' | 'no-answer' | 'needs-rover') =>
  desk('E-01', time, 'CallLogged', { outcome })
/** Closed at 19:40 and under way since 20:15: nothing else is said of this day. */
const evening = (...said: Said[]) =>
  givenPlan(aPlan(), says('E-01', '19:40', 'PollsClosed', {}), left, ...said)

describe('a return that differs', () => {
  it('is raised at the instant it was checked in, not a millisecond before', () => {
    const day = evening()
    const judged = judging(day)
    expect(raisedIn(judged.at(at('20:50') - 1), 'return-different')).toEqual([])
    more(day, here('20:50', ['R-1', 'R-9']))
    expect(raisedIn(judged.at('20:50'), 'return-different')).toEqual([{ key: KEY, at: at('20:50') }])
    const reason = day.p('E-01').reasons[KEY]!
    expect(reason).toMatchObject({ tier: 'stop', since: at('20:50') })
    expect(reasonWords(reason, day.index.brief).fact).toBe(
      'The return checked in at 20:50 is not what was sent: missing seals: R-2; other seals: R-9.',
    )
  })

  it('is not raised where nothing differs', () => {
    const judged = judging(evening(here('20:50', ['r-2', 'R-1'])))
    expect(raisedIn(judged.at('20:50'), 'return-different')).toEqual([])
  })

  it('ends when a call after the check-in is logged as solved, at that instant', () => {
    const day = evening(here('20:50', ['R-1']))
    const judged = judging(day)
    judged.at('20:50')
    expect(endedIn(judged.at(at('21:10') - 1))).toEqual([])
    more(day, logged('21:10', 'solved'))
    expect(endedIn(judged.at('21:10'))).toEqual([{ key: KEY, at: at('21:10') }])
  })

  it.each(['watching', 'no-answer', 'needs-rover'] as const)(
    'does not end with a call logged as %s',
    outcome => {
      const day = evening(here('20:50', ['R-1']))
      const judged = judging(day)
      judged.at('20:50')
      more(day, logged('21:10', outcome))
      judged.at('21:10')
      judged.at('21:40')
      expect(judged.stands('E-01')).toContain(KEY)
    },
  )

  it('does not end by a call that was solved before the log had the check-in, though both bear one time', () => {
    const day = evening(logged('20:50', 'solved'), here('20:50', ['R-1']))
    expect(raisedIn(judging(day).at('20:50'), 'return-different')).toEqual([{ key: KEY, at: at('20:50') }])
  })

  it('ends by a call that was solved right after, within the same millisecond', () => {
    const day = evening(here('20:50', ['R-1']), logged('20:50', 'solved'))
    expect(raisedIn(judging(day).at('20:50'), 'return-different')).toEqual([])
  })

  it('a paper note written in late was known to nobody when a call was solved meanwhile', () => {
    const note = says(
      'E-01',
      '20:50',
      'ReturnReceived',
      { items: ['case'], seals: [] },
      { via: 'paper', recorded: '21:30', wrote: 'nell' },
    )
    const day = evening(logged('21:00', 'solved'), note)
    expect(raisedIn(judging(day).at('21:30'), 'return-different')).toEqual([{ key: KEY, at: at('20:50') }])
  })

  it('ends where it is checked in anew and nothing differs', () => {
    const day = evening(here('20:50', ['R-1']))
    const judged = judging(day)
    judged.at('20:50')
    more(day, here('21:00', ['R-1', 'R-2']))
    expect(endedIn(judged.at('21:00'))).toEqual([{ key: KEY, at: at('21:00') }])
  })

  it('is raised again where it was solved, checked in anew, and still differs', () => {
    const day = evening(here('20:50', ['R-1']), logged('21:00', 'solved'))
    const judged = judging(day)
    judged.at('21:00')
    expect(judged.stands('E-01')).not.toContain(KEY)
    more(day, here('21:05', []))
    expect(raisedIn(judged.at('21:05'), 'return-different')).toEqual([{ key: KEY, at: at('21:05') }])
  })

  it('says what differs now where it is checked in anew and differs otherwise', () => {
    const day = evening(here('20:50', ['R-1']))
    const judged = judging(day)
    judged.at('20:50')
    more(day, here('21:05', ['R-2']))
    judged.at('21:06')
    expect(day.p('E-01').reasons[KEY]!.evidence).toMatchObject({ sealsMissing: ['R-1'], sealsExtra: [] })
  })
})

describe('a return that is overdue', () => {
  it('tells the receiving table nothing of its seals', () => {
    const day = evening()
    judging(day).at('21:45')
    expect(Object.keys(day.p('E-01').reasons['return-overdue:E-01']!.evidence).sort()).toEqual([
      'departedAt',
      'returnByAt',
    ])
  })

  const OVERDUE = 'return-overdue:E-01'
  const said = (time: string, how: How = {}) =>
    says('E-01', time, 'ReturnReceived', { items: ['case'], seals: ['R-1', 'R-2'] }, how)

  it('stands on though its own tablet says that it was received, and says so', () => {
    const day = evening()
    const judged = judging(day)
    expect(raisedIn(judged.at('21:45'), 'return-overdue')).toEqual([{ key: OVERDUE, at: at('21:45') }])
    more(day, said('21:50'))
    expect(endedIn(judged.at('21:50'))).toEqual([])
    const reason = day.p('E-01').reasons[OVERDUE]!
    expect(reason.evidence).toMatchObject({ saidReceived: true, saidReceivedAt: at('21:50') })
    expect(reason.since).toBe(at('21:45'))
    const words = reasonWords(reason, day.index.brief)
    expect(words.fact).toBe(
      'The return left at 20:15; its own tablet said at 21:50 that it was received; no station has checked it in.',
    )
    expect(words.ends).toContain('checked in at a station')
    judged.at('23:50')
    expect(judged.stands('E-01')).toContain(OVERDUE)
  })

  it('says so also of one that was never said to have left', () => {
    const day = givenPlan(aPlan(), says('E-01', '19:40', 'PollsClosed', {}))
    const judged = judging(day)
    judged.at('22:00')
    more(day, said('22:05'))
    judged.at('22:05')
    expect(reasonWords(day.p('E-01').reasons[OVERDUE]!, day.index.brief).fact).toBe(
      'All returns were due by 22:00 and this one is not said to have left, but its own tablet said at 22:05 that it was received; no station has checked it in.',
    )
  })

  it.each([
    ['checked in at a station', { via: 'desk', wrote: 'nell' }],
    ['written down by the desk for a caller', { via: 'caller', wrote: 'ada' }],
    ['written down by the desk from paper', { via: 'paper', wrote: 'ada' }],
  ] as const)('ends at the instant it is %s, before or after its tablet’s word', (_, how) => {
    for (const tablet of [[], [said('21:50')]]) {
      const day = evening()
      const judged = judging(day)
      judged.at('21:45')
      more(day, ...tablet)
      judged.at('21:50')
      more(day, said('22:10', how))
      expect(endedIn(judged.at('22:10'))).toEqual([{ key: OVERDUE, at: at('22:10') }])
      more(day, said('22:15'))
      expect(raisedIn(judged.at('22:15'), 'return-overdue')).toEqual([])
    }
  })

  it('is not raised where its tablet said in time that it was received', () => {
    const judged = judging(evening(said('21:45')))
    expect(raisedIn(judged.at('21:45'), 'return-overdue')).toEqual([])
  })
})
