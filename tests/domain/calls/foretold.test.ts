import { describe, expect, it } from 'vitest'
import { percent } from '../../../server/domain/calls/condition.ts'
import type { Forecasts } from '../../../server/domain/forecast/forecast.ts'
import { chanceWords } from '../../../server/domain/forecast/say.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import { aPlan, type PlanInput } from '../../support/aPlan.ts'
import { at, type Given, givenPlan, type Said, says } from '../../support/given.ts'
import { ballots, type Foretold, foretold, line, ready, turnout } from './foretold.ts'
import { endedIn, judging, more, raisedIn } from './judging.ts'

/** No device: what is said comes by telephone, and silence, which holds back figures, isn't asked. */
const NO_COUNTS: PlanInput['policy'] = { rules: { 'count-missing': { enabled: false } } }
const CALLER = { via: 'caller' } as const
const open = (...said: Said[]) =>
  givenPlan(aPlan({ policy: NO_COUNTS }), says('E-01', '06:28', 'PollsOpened', {}, CALLER), ...said)
const settingUp = () =>
  givenPlan(
    aPlan({ policy: NO_COUNTS }),
    says('E-01', '05:35', 'TeamReported', { present: 8, missing: [] }, CALLER),
  )
const ONE = ['E-01']
const here = (said: Foretold) => ({ 'E-01': said })

/** Judges at each minute with a forecast of that minute; the last answer. */
function everyMinute(judged: ReturnType<typeof judging>, from: string, to: string, said: Foretold) {
  const all = []
  for (let now = at(from); now <= at(to); now += MINUTE)
    all.push(...judged.at(now, ONE, foretold(now, here(said))))
  return all.filter(d => d.precinct === 'E-01')
}

/** Raised `delay` minutes after the first forecast that says so, and at no millisecond before; kept down to the second threshold. */
function twoThresholds(
  day: Given,
  rule: 'behind-on-opening' | 'line-growing' | 'ballots-low',
  [begins, ends]: [number, number],
  [delay, hold]: [number, number],
  from: string,
  of: (chance: number) => Foretold,
) {
  const judged = judging(day)
  const start = at(from)
  const key = `${rule}:E-01`
  const forecasts = (now: number, chance: number) => foretold(now, here(of(chance)))
  expect(raisedIn(judged.at(start - MINUTE, ONE, forecasts(start - MINUTE, begins - 0.001)), rule)).toEqual(
    [],
  )
  for (let m = 0; m < delay; m++)
    expect(raisedIn(judged.at(start + m * MINUTE, ONE, forecasts(start + m * MINUTE, begins)), rule)).toEqual(
      [],
    )
  const due = start + delay * MINUTE
  const last = forecasts(due - MINUTE, begins)
  expect(raisedIn(judged.at(due - 1, ONE, last), rule)).toEqual([])
  expect(raisedIn(judged.at(due, ONE, last), rule)).toEqual([{ key, at: due }])
  expect(day.p('E-01').reasons[key]).toMatchObject({ since: start, raisedAt: due })
  // Between the thresholds it stands.
  judged.at(due + MINUTE, ONE, forecasts(due + MINUTE, ends))
  judged.at(due + 20 * MINUTE, ONE, forecasts(due + 20 * MINUTE, ends))
  expect(judged.stands('E-01')).toContain(key)
  const gone = due + 21 * MINUTE
  const below = forecasts(gone, ends - 0.001)
  expect(endedIn(judged.at(gone, ONE, below))).toEqual([])
  for (let m = 1; m < hold; m++)
    expect(endedIn(judged.at(gone + m * MINUTE, ONE, forecasts(gone + m * MINUTE, ends - 0.001)))).toEqual([])
  expect(
    endedIn(judged.at(gone + hold * MINUTE, ONE, forecasts(gone + hold * MINUTE, ends - 0.001))),
  ).toEqual([{ key, at: gone + hold * MINUTE }])
  // Between them it isn't raised again.
  const again = everyMinute(judged, '11:00', '11:10', of(ends))
  expect(raisedIn(again, rule)).toEqual([])
}

describe('an opening that is forecast to be late', () => {
  it('is raised at one half, two minutes after the first forecast that says so, and ends below three tenths', () => {
    twoThresholds(settingUp(), 'behind-on-opening', [0.5, 0.3], [2, 2], '05:45', ready)
  })

  it('says how likely, when it is ready, what holds it up, and whom it makes wait', () => {
    const day = settingUp()
    const judged = judging(day)
    everyMinute(judged, '05:45', '05:47', ready(0.62))
    const reason = day.p('E-01').reasons['behind-on-opening:E-01']!
    expect(reason).toMatchObject({ voterMinutes: 120, tier: 'soon' })
    expect(reason.evidence).toEqual({
      forecastAt: at('05:47'),
      chancePercent: 62,
      readyAt: at('06:41'),
      earliestAt: at('06:25'),
      latestAt: at('06:58'),
      step: 'tabulator',
      done: 2,
      of: 7,
      opensAt: at('06:30'),
      helpByAt: at('06:18'),
      // Whom the forecast expects, until the late end of its interval.
      riskPeople: 18,
      riskFromAt: at('06:30'),
      riskUntilAt: at('06:58'),
      riskEach: 6.7,
    })
  })

  it('is nothing where all steps are done, or when the polls open', () => {
    const day = settingUp()
    const judged = judging(day)
    expect(
      raisedIn(everyMinute(judged, '05:45', '05:50', ready(1, { holding: null, helpBy: null }))),
    ).toEqual([])
    everyMinute(judged, '05:51', '05:55', ready(0.9))
    expect(judged.stands('E-01')).toContain('behind-on-opening:E-01')
    more(day, says('E-01', '05:56', 'PollsOpened', {}, CALLER))
    everyMinute(judged, '05:56', '05:58', ready(0.9))
    expect(judged.stands('E-01')).toEqual([])
  })

  it('ends while an opening tape stands rejected, by either form: that speaks for it, and no time can be told', () => {
    const day = settingUp()
    const judged = judging(day)
    everyMinute(judged, '05:45', '05:47', ready(0.9))
    const rejected = { tabulator: 'T-01', problems: ['not-zero' as const] }
    more(day, says('E-01', '05:48', 'OpeningTapeRejected', rejected, CALLER))
    judged.at('05:48', ONE, foretold('05:48', here({})))
    expect(judged.stands('E-01')).toEqual(['behind-on-opening:E-01', 'tape-rejected:E-01:T-01'])
    judged.at('05:50', ONE, foretold('05:50', here({})))
    expect(judged.stands('E-01')).toEqual(['tape-rejected:E-01:T-01'])
    // Without a forecast, far behind the usual times.
    expect(raisedIn(judged.at('06:20', ONE), 'behind-on-opening')).toEqual([])
    more(day, says('E-01', '06:21', 'OpeningTapeVerified', { tabulator: 'T-01' }, CALLER))
    const again = everyMinute(judged, '06:21', '06:23', ready(0.9))
    expect(raisedIn(again, 'behind-on-opening')).toEqual([{ key: 'behind-on-opening:E-01', at: at('06:23') }])
  })

  it('takes the place of the plain form, which says nothing beside it', () => {
    const day = settingUp()
    // Far behind the usual times by now, and yet likely to be ready.
    expect(raisedIn(everyMinute(judging(day), '06:10', '06:20', ready(0.1)), 'behind-on-opening')).toEqual([])
    expect(raisedIn(judging(day).at('06:20', ONE), 'behind-on-opening')).toHaveLength(1)
  })
})

describe('a line that is forecast to grow', () => {
  it('is raised at one half, two minutes after the first forecast that says so, and ends below a quarter', () => {
    twoThresholds(open(), 'line-growing', [0.5, 0.25], [2, 5], '08:55', line)
  })

  it('says when it is worst, what waits now, and the slowest stage', () => {
    const day = open()
    everyMinute(judging(day), '09:00', '09:02', line(0.624))
    const reason = day.p('E-01').reasons['line-growing:E-01']!
    expect(reason).toMatchObject({ tier: 'soon', voterMinutes: 640 })
    expect(reason.evidence).toMatchObject({
      forecastAt: at('09:02'),
      worstAt: at('10:15'),
      chancePercent: 62,
      longMinutes: 30,
      waitMinutes: 9,
      inLine: 18,
      said: 22,
      saidAt: at('08:50'),
      bottleneck: 'check-in',
      loadPercent: 112,
      serviceMinutes: 1.6,
      riskFromAt: at('09:02'),
      riskUntilAt: at('10:02'),
    })
  })

  it('gives way to a line that is long', () => {
    const day = open()
    const judged = judging(day)
    everyMinute(judged, '09:00', '09:02', line(0.9))
    expect(judged.stands('E-01')).toEqual(['line-growing:E-01'])
    more(day, says('E-01', '09:03', 'LineReported', { inLine: 90 }, CALLER))
    everyMinute(judged, '09:03', '09:12', line(0.9))
    expect(judged.stands('E-01')).toEqual(['long-line:E-01'])
  })

  it('is nothing where no line is forecast, before the polls are open, or after closing time', () => {
    const none: Foretold = line(0.9, { worst: null })
    expect(raisedIn(everyMinute(judging(open()), '09:00', '09:05', none))).toEqual([])
    const before = settingUp()
    expect(raisedIn(everyMinute(judging(before), '05:40', '05:50', line(0.9)), 'line-growing')).toEqual([])
    const day = open()
    expect(raisedIn(everyMinute(judging(day), '19:30', '19:40', line(0.9)), 'line-growing')).toEqual([])
  })

  it('is judged once where precincts share one line, at the first of them', () => {
    const base = aPlan({ policy: NO_COUNTS })
    const plan = {
      ...base,
      places: base.places.map(p => (p.code === 'PL-01' ? { ...p, line: 'shared' as const } : p)),
      precincts: base.precincts.map(p => (p.code === 'E-02' ? { ...p, place: 'PL-01' } : p)),
    }
    // Only the second is open: its voters stand in the line all the same.
    const day = givenPlan(plan, says('E-02', '06:28', 'PollsOpened', {}))
    const judged = judging(day)
    const raised = []
    for (let now = at('09:00'); now <= at('09:03'); now += MINUTE)
      raised.push(
        ...raisedIn(
          judged.at(now, ['E-02'], foretold(now, { 'E-01': line(0.9), 'E-02': {} })),
          'line-growing',
        ),
      )
    expect(raised).toEqual([{ key: 'line-growing:E-01', at: at('09:02') }])
    expect(day.p('E-01').reasons['line-growing:E-01']!.evidence.sharedBy).toEqual(['E-02'])
  })
})

describe('a long line beside a forecast', () => {
  const reported = (inLine: number) => open(says('E-01', '09:00', 'LineReported', { inLine }, CALLER))
  const said = { is: 0, at: at('09:00') }
  /** Not itself growing, so that only the line as reported is judged. */
  const seen = (serviceMinutes: number, more = {}) => line(0, { serviceMinutes, worst: null, said, ...more })
  const longLines = (inLine: number, of: Foretold) =>
    raisedIn(everyMinute(judging(reported(inLine)), '09:00', '09:04', of), 'long-line')

  it('goes by the minutes that a station was seen to take: over half an hour, not at it', () => {
    // Three stations, three minutes each: one a minute.
    expect(longLines(30, seen(3))).toEqual([])
    expect(longLines(31, seen(3))).toEqual([{ key: 'long-line:E-01', at: at('09:02') }])
    expect(longLines(90, seen(1))).toEqual([])
    expect(longLines(91, seen(1))).toHaveLength(1)
    // Where no line is forecast, as planned: a minute and a half.
    expect(longLines(60, {})).toEqual([])
    expect(longLines(61, {})).toHaveLength(1)
  })

  it('stays to twenty minutes by the same', () => {
    const day = reported(31)
    const judged = judging(day)
    everyMinute(judged, '09:00', '09:02', seen(3))
    more(day, says('E-01', '09:03', 'LineReported', { inLine: 20 }, CALLER))
    everyMinute(judged, '09:03', '09:12', seen(3))
    expect(judged.stands('E-01')).toContain('long-line:E-01')
    more(day, says('E-01', '09:13', 'LineReported', { inLine: 19 }, CALLER))
    everyMinute(judged, '09:13', '09:25', seen(3))
    expect(judged.stands('E-01')).toEqual([])
  })

  it('puts at risk what the forecast expects, where it knows of the report', () => {
    const reason = (more: object) => {
      const day = reported(70)
      everyMinute(judging(day), '09:00', '09:02', seen(1.62, more))
      return day.p('E-01').reasons['long-line:E-01']!
    }
    expect(reason({})).toMatchObject({
      voterMinutes: 640,
      evidence: {
        inLine: 70,
        stations: 3,
        waitMinutes: 38,
        serviceMinutes: 1.6,
        riskFromAt: at('09:02'),
        riskUntilAt: at('10:02'),
      },
    })
    const before = reason({ said: { is: 5, at: at('08:10') } })
    expect(before.voterMinutes).toBeGreaterThan(1_000)
    expect(reason({ said: null }).voterMinutes).toBe(before.voterMinutes)
    // The slower, the more waiting, by the report alone too.
    expect(reason({ said: null, serviceMinutes: 2 }).voterMinutes).toBeGreaterThan(before.voterMinutes)
  })

  it('waits on after closing, when nobody comes any more', () => {
    const day = open(says('E-01', '19:44', 'LineReported', { inLine: 70 }, CALLER))
    everyMinute(judging(day), '19:44', '19:46', seen(1.62, { inLine: 68, said: { is: 70, at: at('19:44') } }))
    expect(day.p('E-01').reasons['long-line:E-01']).toMatchObject({
      voterMinutes: 640,
      evidence: { riskPeople: 68, riskFromAt: at('19:46'), riskUntilAt: at('20:46') },
    })
  })

  it('says nothing of a station where there is no forecast', () => {
    const day = reported(70)
    const judged = judging(day)
    judged.at('09:00', ONE)
    judged.at('09:02', ONE)
    expect(day.p('E-01').reasons['long-line:E-01']!.evidence).not.toHaveProperty('serviceMinutes')
  })
})

describe('ballots that are forecast to run out', () => {
  it('are raised at one in ten, five minutes after the first forecast that says so, and end below one in twenty', () => {
    const soon = (chance: number) => ballots(chance, { neededBy: at('10:30'), leaveBy: at('10:05') })
    twoThresholds(open(), 'ballots-low', [0.1, 0.05], [5, 10], '08:55', soon)
  })

  it('but not likely wait until only two more counts come before somebody has to set out', () => {
    // Set out by 14:00, and a count is due every 75 minutes: 11:30.
    const said = ballots(0.49, { neededBy: at('14:30'), leaveBy: at('14:00') })
    const day = open()
    const judged = judging(day)
    expect(raisedIn(everyMinute(judged, '09:00', '11:34', said))).toEqual([])
    expect(raisedIn(everyMinute(judged, '11:35', '11:35', said))).toEqual([
      { key: 'ballots-low:E-01', at: at('11:35') },
    ])
    // What stands isn't taken back because it could have waited.
    everyMinute(judged, '11:36', '11:50', ballots(0.2, { neededBy: at('19:00'), leaveBy: at('18:30') }))
    expect(judged.stands('E-01')).toEqual(['ballots-low:E-01'])
    // Without a depot it is when they must be there; likely ones don't wait.
    const there = { neededBy: at('14:30'), leaveBy: null }
    expect(raisedIn(everyMinute(judging(open()), '09:00', '12:04', ballots(0.49, there)))).toEqual([])
    expect(raisedIn(everyMinute(judging(open()), '09:00', '09:05', ballots(0.5, there)))).toHaveLength(1)
  })

  it('say what is left and wanted, when they end, and by when more must be there', () => {
    const day = open()
    everyMinute(judging(day), '17:30', '17:35', ballots(0.71, { voterMinutes: 300 }))
    expect(day.p('E-01').reasons['ballots-low:E-01']).toMatchObject({
      voterMinutes: 300,
      evidence: {
        chancePercent: 71,
        left: 312,
        countedAt: at('08:50'),
        wanted: 341,
        wanted90: 395,
        endsAt: at('18:22'),
        neededByAt: at('17:05'),
        leaveByAt: at('16:40'),
        riskFromAt: at('17:50'),
        riskUntilAt: at('18:50'),
      },
    })
  })

  it('of one style alone are enough of a reason', () => {
    const day = open()
    const style = { style: 'B', name: 'Ballot B', chance: 0.6 }
    const never = {
      endsAt: null,
      neededBy: null,
      leaveBy: null,
      voterMinutes: 0,
      outFrom: null,
      outUntil: null,
    }
    const said = ballots(0.001, { style, ...never })
    everyMinute(judging(day), '09:00', '09:05', said)
    const { evidence } = day.p('E-01').reasons['ballots-low:E-01']!
    expect(evidence).toMatchObject({ chancePercent: 0, style: 'Ballot B', stylePercent: 60 })
    expect(Object.keys(evidence)).not.toEqual(expect.arrayContaining(['endsAt']))
  })

  it('of one style concern those who need it', () => {
    const base = aPlan({ policy: NO_COUNTS })
    const styles = [{ precinct: 'E-01', style: 'B', name: 'Ballot B', share: 0.25, ballots: 300 }]
    const people = (chance: number) => {
      const day = givenPlan({ ...base, styles }, says('E-01', '06:28', 'PollsOpened', {}, CALLER))
      const said = ballots(chance, { style: { style: 'B', name: 'Ballot B', chance: 0.8 } })
      everyMinute(judging(day), '09:00', '09:05', said)
      return Number(day.p('E-01').reasons['ballots-low:E-01']!.evidence.riskPeople)
    }
    // A quarter of those who come, four fifths of the time, is a fifth.
    expect(people(0.1) / people(0.2)).toBeCloseTo(0.25, 2)
  })

  it('are nothing where the forecast has no count to go by, whatever the plain form would say', () => {
    const day = open(says('E-01', '08:50', 'CountsReported', { ballotsLeft: 3 }, CALLER))
    expect(raisedIn(everyMinute(judging(day), '09:00', '09:10', {}), 'ballots-low')).toEqual([])
    expect(raisedIn(judging(day).at('09:10', ONE), 'ballots-low')).toHaveLength(1)
  })
})

describe('a count in doubt', () => {
  const fault = { what: 'jump' as const, at: at('09:00'), is: 4_120, before: 455 }
  const doubtful = (came: { is: number; at: number } | null): Foretold => ({
    ...turnout(came),
    faults: [fault],
  })

  it('is raised by the first forecast that names it and ends with a newer sound count', () => {
    const day = open()
    const judged = judging(day)
    const raised = judged.at('09:05', ONE, foretold('09:04', here(doubtful({ is: 455, at: at('08:00') }))))
    expect(raisedIn(raised)).toEqual([{ key: 'count-doubtful:E-01', at: at('09:04') }])
    expect(day.p('E-01').reasons['count-doubtful:E-01']).toMatchObject({
      tier: 'watch',
      voterMinutes: 0,
      evidence: { what: 'jump', count: 4_120, before: 455, countedAt: at('09:00') },
    })
    const sound = here(doubtful({ is: 520, at: at('09:30') }))
    expect(endedIn(judged.at('09:31', ONE, foretold('09:31', sound)))).toEqual([])
    expect(endedIn(judged.at('09:33', ONE, foretold('09:33', sound)))).toEqual([
      { key: 'count-doubtful:E-01', at: at('09:33') },
    ])
  })

  it('is the latest of several, and told for two count periods', () => {
    const day = open()
    const judged = judging(day)
    const two: Foretold = { faults: [{ ...fault, what: 'back', at: at('08:00') }, fault] }
    judged.at('09:05', ONE, foretold('09:05', here(two)))
    expect(day.p('E-01').reasons['count-doubtful:E-01']!.evidence.countedAt).toBe(at('09:00'))
    // Every 75 minutes: from 11:30 on it is too old, and gone for its hold of two minutes by 11:32.
    expect(endedIn(judged.at(at('11:30') - 1, ONE, foretold('11:29', here(two))))).toEqual([])
    judged.at('11:30', ONE, foretold('11:30', here(two)))
    expect(endedIn(judged.at('11:32', ONE, foretold('11:32', here(two))))).toHaveLength(1)
  })

  it('is over by the same without a forecast, and where the polls have closed', () => {
    const stood = () => {
      const day = open()
      const judged = judging(day)
      judged.at('09:05', ONE, foretold('09:05', here(doubtful(null))))
      expect(judged.stands('E-01')).toEqual(['count-doubtful:E-01'])
      return { day, judged }
    }
    const { judged } = stood()
    expect(judged.at(at('11:30') - 1, ONE)).toEqual([])
    judged.at('11:30', ONE)
    expect(endedIn(judged.at('11:32', ONE))).toEqual([{ key: 'count-doubtful:E-01', at: at('11:32') }])
    const closed = stood()
    more(closed.day, says('E-01', '09:10', 'PollsClosed', {}, CALLER))
    closed.judged.at('09:10', ONE)
    expect(endedIn(closed.judged.at('09:12', ONE))).toHaveLength(1)
  })

  it('that has not moved is one though it is the latest sound count', () => {
    const stuck: Foretold = {
      ...turnout({ is: 455, at: at('09:00') }),
      faults: [{ ...fault, what: 'stuck', is: 455 }],
    }
    expect(raisedIn(judging(open()).at('09:05', ONE, foretold('09:05', here(stuck))))).toHaveLength(1)
  })
})

describe('without a forecast of the last minutes', () => {
  const doubtful: Foretold = { faults: [{ what: 'back', at: at('08:50'), is: 1, before: 2 }] }
  const all: Foretold = { ...line(0.9), ...ballots(0.9), ...doubtful }
  const keys = ['ballots-low:E-01', 'count-doubtful:E-01', 'line-growing:E-01']

  it('nothing is raised', () => {
    const old = foretold('08:54', here(all))
    const judged = judging(open())
    expect(raisedIn(judged.at(at('08:59') + 1, ONE, old))).toEqual([])
    expect(raisedIn(judged.at('09:30', ONE, old))).toEqual([])
  })

  it('what stands is held, neither ended nor written anew, for as long as nothing else ends it', () => {
    const day = open()
    const judged = judging(day)
    everyMinute(judged, '09:00', '09:05', all)
    expect(judged.stands('E-01')).toEqual(keys)
    const stale = foretold('09:05', here(all))
    for (const time of ['09:11', '09:30', '10:30']) expect(judged.at(time, ONE, stale)).toEqual([])
    expect(judged.at('10:40', ONE)).toEqual([])
    expect(judged.stands('E-01')).toEqual(keys)
    more(day, says('E-01', '10:45', 'PollsClosed', {}, CALLER))
    judged.at('10:45', ONE)
    judged.at('10:56', ONE)
    expect(judged.stands('E-01')).toEqual([])
  })

  it('the forecast is good for five minutes to the millisecond', () => {
    const judged = judging(open())
    const made: Forecasts = foretold('09:00', here(doubtful))
    expect(raisedIn(judged.at('09:05', ONE, made))).toHaveLength(1)
    expect(raisedIn(judging(open()).at(at('09:05') + 1, ONE, made))).toEqual([])
  })

  it('an opening called late by a forecast still ends with the polls’ opening', () => {
    const day = settingUp()
    const judged = judging(day)
    everyMinute(judged, '05:45', '05:47', ready(0.9))
    more(day, says('E-01', '05:50', 'PollsOpened', {}, CALLER))
    judged.at('05:50', ONE)
    judged.at('05:52', ONE)
    expect(judged.stands('E-01')).toEqual([])
  })
})

describe('a silent precinct', () => {
  it('has nothing raised from a forecast, and what stands is held', () => {
    const quiet = () =>
      givenPlan(
        aPlan({ policy: NO_COUNTS }),
        says('E-01', '06:28', 'PollsOpened', {}),
        says('E-01', '08:58', 'LineReported', { inLine: 1 }),
      )
    const said: Foretold = {
      ...line(0.9),
      ...ballots(0.9),
      faults: [{ what: 'back', at: at('08:50'), is: 1, before: 2 }],
    }
    const never = quiet()
    everyMinute(judging(never), '09:03', '09:20', said)
    expect(Object.keys(never.p('E-01').reasons)).toEqual(['silent:E-01'])
    const stood = quiet()
    const judged = judging(stood)
    everyMinute(judged, '08:57', '09:02', said)
    expect(judged.stands('E-01')).toEqual(['ballots-low:E-01', 'count-doubtful:E-01', 'line-growing:E-01'])
    everyMinute(judged, '09:03', '09:30', { ...line(0), ...ballots(0) })
    expect(judged.stands('E-01')).toEqual([
      'ballots-low:E-01',
      'count-doubtful:E-01',
      'line-growing:E-01',
      'silent:E-01',
    ])
  })
})

describe('what is written anew', () => {
  it('of a standing forecast: figures after a quarter of an hour, the slowest stage after five minutes', () => {
    const day = open()
    const judged = judging(day)
    everyMinute(judged, '09:00', '09:02', line(0.6))
    expect(everyMinute(judged, '09:03', '09:16', line(0.7))).toEqual([])
    expect(everyMinute(judged, '09:17', '09:17', line(0.7))).toHaveLength(1)
    expect(everyMinute(judged, '09:18', '09:21', line(0.7, { bottleneck: 'tabulator' }))).toEqual([])
    expect(everyMinute(judged, '09:22', '09:22', line(0.7, { bottleneck: 'tabulator' }))).toHaveLength(1)
  })

  it('chances are whole percent, which words say as forecasts do', () => {
    expect([-0.1, 0, 0.0049, 0.005, 0.126, 0.994, 0.995, 1, 1.1].map(percent)).toEqual([
      0, 0, 0, 1, 13, 99, 100, 100, 100,
    ])
    for (const chance of [0, 1e-9, 0.0049, 0.126, 0.5, 0.994, 0.9951, 1])
      expect(chanceWords(percent(chance) / 100)).toBe(chanceWords(chance))
  })
})
