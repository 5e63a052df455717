import { describe, expect, it } from 'vitest'
import { aPlan, type PlanInput } from '../../support/aPlan.ts'
import { at, givenPlan, type Said, says, system } from '../../support/given.ts'
import { endedIn, judging, more, raisedIn } from './judging.ts'

const CALLER = { via: 'caller' } as const
const ONE = ['E-01']
const day = (policy: PlanInput['policy'], ...said: Said[]) =>
  givenPlan(
    aPlan({ policy: { ...policy, rules: { 'count-missing': { enabled: false } } } }),
    says('E-01', '06:28', 'PollsOpened', {}, CALLER),
    ...said,
  )
const counts = (time: string, checkedIn: number, publicCount: number, rest = {}) =>
  says('E-01', time, 'CountsReported', { checkedIn, publicCount: { 'T-01': publicCount }, ...rest }, CALLER)

describe('counts that are apart', () => {
  const sound = counts('08:00', 100, 97)
  const missing = counts('09:00', 200, 120)

  it('are raised ten minutes after the count that shows it, and end five after one that agrees', () => {
    const d = day({}, sound, missing)
    const judged = judging(d)
    expect(raisedIn(judged.at(at('09:10') - 1, ONE))).toEqual([])
    expect(raisedIn(judged.at('09:10', ONE))).toEqual([{ key: 'counts-apart:E-01', at: at('09:10') }])
    const reason = d.p('E-01').reasons['counts-apart:E-01']!
    expect(reason).toMatchObject({ tier: 'watch', voterMinutes: 0, since: at('09:00') })
    expect(reason.evidence).toMatchObject({
      of: 'voters',
      left: 200,
      right: 120,
      difference: 80,
      parts: ['tabulated'],
      oldestAt: at('09:00'),
      newestAt: at('09:00'),
    })
    const { explained, unexplained } = reason.evidence as { explained: number; unexplained: number }
    expect(explained + unexplained).toBeGreaterThanOrEqual(79)
    expect(explained + unexplained).toBeLessThanOrEqual(81)
    more(d, counts('09:30', 240, 236))
    judged.at('09:30', ONE)
    expect(endedIn(judged.at(at('09:35') - 1, ONE))).toEqual([])
    expect(endedIn(judged.at('09:35', ONE))).toEqual([{ key: 'counts-apart:E-01', at: at('09:35') }])
  })

  it('that people who are still voting explain are no reason', () => {
    expect(raisedIn(judging(day({}, sound, counts('09:00', 200, 190))).at('10:00', ONE))).toEqual([])
  })

  it('within the tolerance are no reason', () => {
    expect(raisedIn(judging(day({ countTolerance: 80 }, sound, missing)).at('10:00', ONE))).toEqual([])
  })

  it('of ballots are told as that', () => {
    // 1,200 delivered: 400 used, and 210 of them anywhere.
    const d = day({}, sound, counts('09:00', 205, 200, { ballotsLeft: 800, spoiled: 4, provisional: 6 }))
    judging(d).at('09:10', ONE)
    expect(d.p('E-01').reasons['counts-apart:E-01']!.evidence).toMatchObject({
      of: 'ballots',
      left: 400,
      right: 210,
      parts: ['tabulated', 'provisional', 'spoiled'],
    })
  })

  it('are over when the polls close', () => {
    const d = day({}, sound, missing)
    const judged = judging(d)
    judged.at('09:10', ONE)
    more(d, says('E-01', '09:20', 'PollsClosed', {}, CALLER))
    judged.at('09:20', ONE)
    judged.at('09:25', ONE)
    expect(judged.stands('E-01')).toEqual([])
  })

  it('are held while the precinct is silent', () => {
    const said = (...s: Said[]) =>
      givenPlan(
        aPlan({ policy: { rules: { 'count-missing': { enabled: false } } } }),
        says('E-01', '06:28', 'PollsOpened', {}),
        says('E-01', '08:00', 'CountsReported', { checkedIn: 100, publicCount: { 'T-01': 97 } }),
        says('E-01', '09:00', 'CountsReported', { checkedIn: 200, publicCount: { 'T-01': 120 } }),
        ...s,
      )
    const judged = judging(said())
    for (const time of ['09:05', '09:10', '09:30']) judged.at(time, ONE)
    expect(judged.stands('E-01')).toEqual(['silent:E-01'])
    const heard = says('E-01', '09:09', 'HeartbeatReceived', { device: { waiting: 0 } })
    const stood = judging(said(heard))
    for (const time of ['09:10', '09:15', '09:40']) stood.at(time, ONE)
    expect(stood.stands('E-01')).toEqual(['counts-apart:E-01', 'silent:E-01'])
  })
})

describe('counts that were not reconciled', () => {
  const reconciled = (time: string, tabulated: number, explanation?: string) =>
    says(
      'E-01',
      time,
      'CountsReconciled',
      {
        delivered: 1_200,
        left: 400,
        tabulated,
        inSlot: 0,
        spoiled: 10,
        provisional: 5,
        challenged: 0,
        checkedIn: 785,
        ...(explanation === undefined ? {} : { explanation }),
      },
      CALLER,
    )
  const closed = says('E-01', '19:40', 'PollsClosed', {}, CALLER)

  it('are raised five minutes after they were said, and end at once when they hold', () => {
    const d = day({}, closed, reconciled('20:10', 780))
    const judged = judging(d)
    expect(raisedIn(judged.at(at('20:15') - 1, ONE))).toEqual([])
    expect(raisedIn(judged.at('20:15', ONE))).toEqual([{ key: 'not-reconciled:E-01', at: at('20:15') }])
    // 800 used = 780 + 10 + 5 and 5 more; 785 voters = 780 + 5 provisional ones.
    expect(d.p('E-01').reasons['not-reconciled:E-01']).toMatchObject({
      tier: 'soon',
      voterMinutes: 0,
      evidence: { ballots: 5, voters: 0, tolerance: 0, countedAt: at('20:10') },
    })
    more(d, reconciled('20:30', 785))
    expect(endedIn(judged.at('20:30', ONE))).toEqual([{ key: 'not-reconciled:E-01', at: at('20:30') }])
  })

  it('are no reason within the tolerance, nor with a written explanation, also once it was erased', () => {
    expect(
      raisedIn(judging(day({ countTolerance: 5 }, closed, reconciled('20:10', 780))).at('20:40', ONE)),
    ).toEqual([])
    const written = day({}, closed, reconciled('20:10', 780, 'Five were taken home'))
    expect(raisedIn(judging(written).at('20:40', ONE))).toEqual([])
    const erased = {
      ...reconciled('20:10', 780),
      origin: { via: 'caller' as const, detailHash: 'a'.repeat(64) },
    }
    expect(raisedIn(judging(day({}, closed, erased)).at('20:40', ONE))).toEqual([])
  })

  it('still matter when the return has been received', () => {
    const received = says('E-01', '21:00', 'ReturnReceived', { items: [], seals: [] }, { via: 'desk' })
    const judged = judging(day({}, closed, reconciled('20:10', 780), received))
    judged.at('21:30', ONE)
    expect(judged.stands('E-01')).toContain('not-reconciled:E-01')
  })
})

describe('how unlikely a silence is', () => {
  /** Heard every 30 seconds or so, by the minute's lists. */
  const lists = (from: number, howMany: number) =>
    Array.from({ length: howMany }, (_, i) => {
      const t = from + i * 30_000 + (i % 2) * 2_000
      const said = system(null, '07:00', 'DevicesHeard', { heard: { 'E-01': new Date(t).toISOString() } })
      return { ...said, occurredAt: t, recordedAt: t }
    })
  const silentAfter = (howMany: number) => {
    const d = givenPlan(
      aPlan(),
      says('E-01', '06:30', 'PollsOpened', {}),
      ...lists(at('06:30') + 30_000, howMany),
    )
    const judged = judging(d)
    const silentAt = d.p('E-01').heardAt! + 300_000
    judged.at(silentAt, ONE)
    return { d, judged, silentAt }
  }

  it('stands with the silence where its device has kept a rhythm, as of the instant of silence', () => {
    const { d, judged, silentAt } = silentAfter(40)
    const before = d.p('E-01').reasons['silent:E-01']!.evidence
    expect(before).toMatchObject({ usualGapSeconds: 30, oneIn: 1_000 })
    expect(judged.at(silentAt + 20 * 60_000, ONE)).toEqual([])
    expect(d.p('E-01').reasons['silent:E-01']!.evidence).toEqual(before)
  })

  it('is not said of a device that was hardly heard', () => {
    const { evidence } = silentAfter(20).d.p('E-01').reasons['silent:E-01']!
    expect(Object.keys(evidence)).not.toContain('oneIn')
  })
})
