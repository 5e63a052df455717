import { describe, expect, it } from 'vitest'
import { freshness, lateAt, silentAt } from '../../../server/domain/silence/silence.ts'
import { silenceVerdicts } from '../../../server/domain/silence/verdicts.ts'
import { toRfc3339 } from '../../../server/domain/time.ts'
import { aPlan, aWidePlan } from '../../support/aPlan.ts'
import { at, given, givenPlan, iso, says, system } from '../../support/given.ts'
import { judging, more, raisedIn, write } from '../calls/judging.ts'

/** Policy of these days: late after 2 minutes, silent after 5, grace 3. */
const team = { present: 8, missing: [] }
const heard = (time: string) => given(says('E-01', time, 'TeamReported', team))
const rulesFor = (day: ReturnType<typeof given>, now: number) =>
  silenceVerdicts(day.state, day.index, now).map(d => d.kind)

describe('the instant of silence', () => {
  it('P6: is predicted from the last hearing and policy', () => {
    const day = heard('07:00')
    expect(silentAt(day.p('E-01'), day.index, 0)).toBe(at('07:05'))
    expect(lateAt(day.p('E-01'), day.index, 0)).toBe(at('07:02'))
  })

  it('P6: is not a millisecond early, and is the predicted instant whenever somebody looks', () => {
    const day = heard('07:00')
    expect(rulesFor(day, at('07:05') - 1)).toEqual([])
    for (const look of [at('07:05'), at('07:05') + 1, at('09:00')]) {
      const [fell] = silenceVerdicts(day.state, day.index, look)
      expect(fell).toMatchObject({
        kind: 'PrecinctFellSilent',
        precinct: 'E-01',
        occurredAt: at('07:05'),
        body: { heardAt: iso('07:00'), silentAt: iso('07:05') },
      })
    }
  })

  it('P6: is recorded once', () => {
    const day = heard('07:00')
    write(day, silenceVerdicts(day.state, day.index, at('07:05')), at('07:05'))
    expect(day.p('E-01').silentSince).toBe(at('07:05'))
    expect(rulesFor(day, at('07:05'))).toEqual([])
    expect(rulesFor(day, at('12:00'))).toEqual([])
  })

  it('P6: ends by hearing, once, with how long it was', () => {
    const day = heard('07:00')
    write(day, silenceVerdicts(day.state, day.index, at('07:05')), at('07:05'))
    more(day, says('E-01', '07:15', 'PollsOpened', {}))
    const back = silenceVerdicts(day.state, day.index, at('07:15'))
    expect(back).toMatchObject([
      { kind: 'PrecinctHeardAgain', occurredAt: at('07:15'), body: { silentSeconds: 600 } },
    ])
    write(day, back, at('07:15'))
    expect(day.p('E-01').silentSince).toBeNull()
    expect(rulesFor(day, at('07:15'))).toEqual([])
  })

  it('P6: a short hearing between two silences, looked at late, is told as both', () => {
    const day = heard('07:00')
    write(day, silenceVerdicts(day.state, day.index, at('07:05')), at('07:05'))
    more(day, says('E-01', '07:15', 'PollsOpened', {}))
    const both = silenceVerdicts(day.state, day.index, at('08:00'))
    expect(both.map(d => [d.kind, d.occurredAt])).toEqual([
      ['PrecinctHeardAgain', at('07:15')],
      ['PrecinctFellSilent', at('07:20')],
    ])
    write(day, both, at('08:00'))
    expect(rulesFor(day, at('08:00'))).toEqual([])
  })

  it('P6: is about what the office heard, not about what the report says of its own time', () => {
    const day = given(says('E-01', '06:00', 'TeamReported', team, { recorded: '07:00' }))
    expect(silentAt(day.p('E-01'), day.index, 0)).toBe(at('07:05'))
  })

  it('P6: after an outage of our own, deadlines restart with the grace', () => {
    const day = heard('07:00')
    more(
      day,
      system(null, '09:00', 'ServiceResumed', { lastKnownAt: iso('07:01'), graceUntil: iso('09:03') }),
    )
    expect(rulesFor(day, at('09:03') - 1)).toEqual([])
    expect(silenceVerdicts(day.state, day.index, at('09:03'))).toMatchObject([
      { kind: 'PrecinctFellSilent', occurredAt: at('09:03') },
    ])
  })

  it('a new grace undoes no silence that is on record', () => {
    const day = heard('07:00')
    write(day, silenceVerdicts(day.state, day.index, at('07:05')), at('07:05'))
    more(
      day,
      system(null, '07:06', 'ServiceResumed', { lastKnownAt: iso('07:05'), graceUntil: iso('07:09') }),
    )
    expect(rulesFor(day, at('07:07'))).toEqual([])
    expect(day.p('E-01').silentSince).toBe(at('07:05'))
  })

  it('is not asked of a precinct without a device: what it says comes by telephone', () => {
    const day = given(says('E-01', '07:00', 'TeamReported', team, { via: 'caller' }))
    expect(silentAt(day.p('E-01'), day.index, 0)).toBeNull()
    expect(freshness(day.p('E-01'), day.index, 0, at('12:00'))).toBe('fresh')
  })

  it('is not asked before reporting time, nor of a device tried out the evening before', () => {
    const early = heard('05:10')
    expect(silentAt(early.p('E-01'), early.index, 0)).toBe(at('05:30'))
    const tried = heard('02:00')
    expect(silentAt(tried.p('E-01'), tried.index, 0)).toBeNull()
    expect(freshness(tried.p('E-01'), tried.index, 0, at('07:00'))).toBe('never')
  })

  it.each([
    ['closed', says('E-01', '19:40', 'PollsClosed', {})],
    ['on its way', says('E-01', '20:30', 'ReturnDeparted', { carriers: 2, items: [], seals: [] })],
    ['received', says('E-01', '21:00', 'ReturnReceived', { items: [], seals: [] })],
  ])('is not asked of a precinct that is %s', (_, last) => {
    const day = given(says('E-01', '07:00', 'PollsOpened', {}), last)
    expect(silentAt(day.p('E-01'), day.index, 0)).toBeNull()
  })

  it('passes from fresh over late to silent', () => {
    const day = heard('07:00')
    const is = (now: number) => freshness(day.p('E-01'), day.index, 0, now)
    expect([at('07:02') - 1, at('07:02'), at('07:05') - 1, at('07:05')].map(is)).toEqual([
      'fresh',
      'late',
      'late',
      'silent',
    ])
  })
})

describe('our own link', () => {
  const wide = (...times: string[]) => {
    const plan = aWidePlan(times.length)
    return givenPlan(
      plan,
      ...times.map((time, i) =>
        says(`W-${String(i + 1).padStart(3, '0')}`, time, 'PollsOpened', {}, { recorded: time }),
      ),
    )
  }
  const ten = ['09:00:00', '09:00:03', '09:00:06', '09:00:09', '09:00:12', '09:00:15', '09:00:18', '09:00:21']

  it('P6: nearly all silent is our own link first, and no precinct is blamed before or while it stands', () => {
    const day = wide(...ten, '09:00:24', '09:00:27')
    const judged = judging(day)
    const first = judged.at('09:05:00')
    expect(raisedIn(first)).toEqual([{ key: 'own-link', at: at('09:05:00') }])
    const raised = [...Array(40).keys()].flatMap(i => raisedIn(judged.at(at('09:05:01') + i * 1_000)))
    expect(raised).toEqual([])
    expect(day.p('W-010').silentSince).toBe(at('09:05:27'))
    expect(day.state.reasons['own-link']).toMatchObject({ tier: 'stop', evidence: { missing: 10, of: 10 } })
  })

  it('counts from the later of the first silence and the share that policy asks', () => {
    const day = wide('08:00:00', ...ten, '09:00:24')
    const judged = judging(day)
    expect(raisedIn(judged.at('08:05'))).toEqual([{ key: 'silent:W-001', at: at('08:05') }])
    const link = [...Array(240).keys()].flatMap(i =>
      raisedIn(judged.at(at('09:02:00') + i * 1_000), 'own-link'),
    )
    // Missing is: silent within a period of 30 seconds and the list's minute, so after 210 seconds.
    expect(link).toEqual([{ key: 'own-link', at: at('09:00:18') + 210_000 }])
  })

  it('does not stand for a part of the county', () => {
    const day = wide(...ten.slice(0, 6), ...Array(4).fill('09:05:00'))
    const judged = judging(day)
    expect(raisedIn(judged.at('09:06:00')).map(r => r.key)).toEqual(
      [1, 2, 3, 4, 5, 6].map(n => `silent:W-00${n}`),
    )
    expect(judged.stands(null)).toEqual([])
  })

  it('ends when most are heard, and only then are those still silent named', () => {
    const day = wide(...ten, '09:00:24', '09:00:27')
    const judged = judging(day)
    judged.at('09:06')
    expect(judged.stands(null)).toEqual(['own-link'])
    for (const n of [1, 2, 3, 4]) more(day, says(`W-00${n}`, '09:10', 'LineReported', { inLine: 1 }))
    judged.at('09:10')
    judged.at('09:12')
    expect(judged.stands(null)).toEqual(['own-link'])
    for (const n of [1, 2, 3, 4, 5, 6, 7, 8])
      more(day, says(`W-00${n}`, '09:13', 'LineReported', { inLine: 1 }))
    judged.at('09:13')
    expect(judged.stands(null)).toEqual(['own-link'])
    judged.at('09:14')
    expect(judged.stands(null)).toEqual([])
    expect(raisedIn(judged.at('09:14:01'), 'silent').map(r => r.key)).toEqual([
      'silent:W-009',
      'silent:W-010',
    ])
  })

  it('holds what rests on hearing nothing: no flood of precincts not open', () => {
    const plan = aWidePlan(10)
    const codes = [...Array(10).keys()].map(i => `W-${String(i + 1).padStart(3, '0')}`)
    const enrolled = system('W-010', '05:00', 'DeviceEnrolled', { device: 'd-new' })
    const day = givenPlan(
      plan,
      enrolled,
      ...codes.slice(0, 9).map(c => says(c, '06:20', 'TeamReported', team)),
    )
    const judged = judging(day)
    judged.at('06:25')
    expect(judged.stands(null)).toEqual(['own-link'])
    // The tenth has a device that was never heard; nothing is held against it while the link is broken.
    expect(raisedIn(judged.at('06:31'))).toEqual([])
    expect(raisedIn(judged.at('08:00')).filter(r => r.key !== 'own-link')).toEqual([])
  })

  it('says nothing of a county with fewer than three devices', () => {
    const day = givenPlan(
      aPlan(),
      says('E-01', '07:00', 'PollsOpened', {}),
      says('E-02', '07:00', 'PollsOpened', {}),
    )
    const raised = raisedIn(judging(day).at('07:05')).map(r => r.key)
    expect(raised).toEqual(expect.arrayContaining(['silent:E-01', 'silent:E-02']))
    expect(raised).not.toContain('own-link')
    expect(toRfc3339(day.p('E-01').silentSince!)).toBe(iso('07:05'))
  })
})
