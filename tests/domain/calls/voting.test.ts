import { describe, expect, it } from 'vitest'
import { reasonWords } from '../../../server/domain/calls/words.ts'
import { asideSource } from '../../../server/domain/log/aside.ts'
import { aPlan, type PlanInput } from '../../support/aPlan.ts'
import { at, desk, givenPlan, iso, raised, type Said, says, system } from '../../support/given.ts'
import { endedIn, judging, more, raisedIn } from './judging.ts'

/** E-01 alone, or E-02 with its two tabulators; open since 6:28 unless said otherwise. */
const one = (code: 'E-01' | 'E-02', said: Said[], policy: PlanInput['policy'] = UNCOUNTED) => {
  const plan = aPlan({ policy })
  const own = <T extends { precinct: string }>(rows: T[]) => rows.filter(r => r.precinct === code)
  const only = {
    ...plan,
    precincts: plan.precincts.filter(p => p.code === code),
    equipment: own(plan.equipment),
    seals: own(plan.seals),
  }
  return givenPlan(only, says(code, '06:28', 'PollsOpened', {}), ...said)
}
/** Nobody counts in most of these days, and that isn't what they are about. */
const UNCOUNTED: PlanInput['policy'] = { rules: { 'count-missing': { enabled: false } } }
/** Silence would hold back what rests on figures: not what these tests are about. */
const NEVER_SILENT: PlanInput['policy'] = {
  heartbeat: { lateAfterSeconds: 3_600, silentAfterSeconds: 7_200 },
}
const alive = (time: string, code = 'E-01') =>
  says(code, time, 'HeartbeatReceived', { device: { waiting: 0 } })

describe('equipment down', () => {
  const down = (equipment: string, time = '09:12') => says('E-01', time, 'EquipmentWentDown', { equipment })
  const back = (equipment: string, time: string) => says('E-01', time, 'EquipmentRestored', { equipment })

  it('a tabulator is raised after its minute, not a millisecond before, and ends two after it is back', () => {
    const day = one('E-01', [down('T-01')])
    const judged = judging(day)
    expect(raisedIn(judged.at(at('09:13') - 1), 'tabulator-down')).toEqual([])
    expect(raisedIn(judged.at('09:13'), 'tabulator-down')).toEqual([
      { key: 'tabulator-down:E-01:T-01', at: at('09:13') },
    ])
    more(day, back('T-01', '09:20'))
    judged.at('09:20')
    expect(endedIn(judged.at(at('09:22') - 1))).toEqual([])
    expect(endedIn(judged.at('09:22'))).toEqual([{ key: 'tabulator-down:E-01:T-01', at: at('09:22') }])
  })

  it('does not end where it went down again within the hold', () => {
    const day = one('E-01', [down('T-01')])
    const judged = judging(day)
    judged.at('09:13')
    more(day, back('T-01', '09:20'))
    judged.at('09:20')
    more(day, down('T-01', '09:21'))
    judged.at('09:21')
    more(day, back('T-01', '09:21:30'))
    judged.at('09:21:30')
    expect(endedIn(judged.at('09:23'))).toEqual([])
    expect(endedIn(judged.at('09:23:30'))).toEqual([{ key: 'tabulator-down:E-01:T-01', at: at('09:23:30') }])
  })

  it('a tabulator costs more with nothing beside it than with the slot open or another', () => {
    const risk = (code: 'E-01' | 'E-02', ...said: Said[]) => {
      const day = one(code, said)
      judging(day).at('09:30')
      return Object.values(day.p(code).reasons).find(r => r.rule === 'tabulator-down')!.voterMinutes
    }
    const alone = risk('E-01', down('T-01'))
    const slot = risk('E-01', down('T-01'), says('E-01', '09:13', 'EmergencySlotOpened', {}))
    const another = risk('E-02', says('E-02', '09:12', 'EquipmentWentDown', { equipment: 'T-02' }))
    expect(alone).toBeGreaterThan(10 * slot)
    expect(another).toBeLessThan(alone)
  })

  it('an accessible station is its own reason, always now by default', () => {
    const day = one('E-01', [down('A-01')])
    expect(raisedIn(judging(day).at('09:13')).map(r => r.key)).toEqual(['accessible-down:E-01:A-01'])
    expect(day.p('E-01').reasons['accessible-down:E-01:A-01']!.tier).toBe('now')
  })

  it('a replacement that isn’t in the plan is of the kind of what it replaced', () => {
    const day = one('E-01', [
      down('T-01'),
      says('E-01', '09:20', 'EquipmentReplaced', { equipment: 'T-01', by: 'T-99' }),
      down('T-99', '10:00'),
    ])
    expect(raisedIn(judging(day).at('10:05'), 'tabulator-down').map(r => r.key)).toEqual([
      'tabulator-down:E-01:T-99',
    ])
  })

  it('other equipment and unknown tags raise nothing', () => {
    const day = one('E-01', [down('D-01'), down('constructor')])
    expect(raisedIn(judging(day).at('09:14'))).toEqual([])
  })
})

describe('the emergency slot', () => {
  const slotOpen = says('E-01', '09:14', 'EmergencySlotOpened', {})
  const down = says('E-01', '09:12', 'EquipmentWentDown', { equipment: 'T-01' })
  const back = says('E-01', '09:40', 'EquipmentRestored', { equipment: 'T-01' })
  const locked = says('E-01', '09:55', 'EmergencySlotLocked', { inSlot: 31 })

  it('in use is raised two minutes after it was opened while the tabulator is down', () => {
    const judged = judging(one('E-01', [down, slotOpen]))
    expect(raisedIn(judged.at(at('09:16') - 1), 'slot-in-use')).toEqual([])
    expect(raisedIn(judged.at('09:16'), 'slot-in-use')).toEqual([
      { key: 'slot-in-use:E-01', at: at('09:16') },
    ])
  })

  it('is forgotten ten minutes after the tabulator is back, not a millisecond before, until it is locked', () => {
    const day = one('E-01', [down, slotOpen, back, alive('09:47')])
    const judged = judging(day)
    expect(raisedIn(judged.at(at('09:50') - 1), 'slot-forgotten')).toEqual([])
    expect(raisedIn(judged.at('09:50'), 'slot-forgotten')).toEqual([
      { key: 'slot-forgotten:E-01', at: at('09:50') },
    ])
    expect(judged.stands('E-01')).not.toContain('slot-in-use:E-01')
    more(day, locked)
    judged.at('09:55')
    expect(endedIn(judged.at('09:57'))).toEqual([{ key: 'slot-forgotten:E-01', at: at('09:57') }])
  })

  it('is not called forgotten later because a heartbeat repeats that nothing is down', () => {
    const list = says('E-01', '09:47', 'HeartbeatReceived', {
      status: { equipmentDown: { is: [], asOf: iso('09:47') } },
    })
    const judged = judging(one('E-01', [down, slotOpen, back, list]))
    expect(raisedIn(judged.at('09:50'), 'slot-forgotten')).toEqual([
      { key: 'slot-forgotten:E-01', at: at('09:50') },
    ])
  })

  it('is in use, not forgotten, while a rejected tape keeps the tabulator out of use, or polls opened with it', () => {
    const rejected = [
      says('E-01', '06:00', 'OpeningTapeRejected', { tabulator: 'T-01', problems: ['not-zero'] }),
      says('E-01', '06:01', 'EmergencySlotOpened', {}),
    ]
    const day = one('E-01', [...rejected, alive('09:00')])
    expect(raisedIn(judging(day).at('09:00')).map(r => r.key)).toContain('slot-in-use:E-01')
    const withSlot = one('E-01', [
      says('E-01', '06:28', 'PollsOpened', { withSlot: true }),
      says('E-01', '06:28', 'EmergencySlotOpened', {}),
      alive('07:00'),
    ])
    expect(raisedIn(judging(withSlot).at('07:00')).map(r => r.key)).toEqual(['slot-in-use:E-01'])
  })
})

describe('count missing', () => {
  it('is raised 75 minutes after the opening and five of delay, and ends with a count', () => {
    const day = one('E-01', [], NEVER_SILENT)
    const judged = judging(day)
    expect(raisedIn(judged.at(at('07:50') - 1))).toEqual([])
    // From the legal hour, since the polls opened before it.
    expect(raisedIn(judged.at('07:50'))).toEqual([{ key: 'count-missing:E-01', at: at('07:50') }])
    more(day, says('E-01', '07:55', 'CountsReported', { checkedIn: 130, asOf: iso('07:50') }))
    judged.at('07:55')
    expect(endedIn(judged.at('07:57'))).toEqual([{ key: 'count-missing:E-01', at: at('07:57') }])
  })

  it('goes by the count’s own instant, not by a heartbeat that repeats it', () => {
    const again = says('E-01', '09:20', 'HeartbeatReceived', {
      counts: { checkedIn: { is: 130, asOf: iso('07:50') } },
    })
    const judged = judging(one('E-01', [again], NEVER_SILENT))
    expect(raisedIn(judged.at('09:20'), 'count-missing')).toEqual([
      { key: 'count-missing:E-01', at: at('09:10') },
    ])
  })

  it('is not raised of a silent precinct, and not at once when it is heard again', () => {
    const day = one('E-01', [], {})
    const judged = judging(day)
    judged.at('06:33')
    judged.at('08:30')
    expect(judged.stands('E-01')).toEqual(['silent:E-01'])
    more(day, alive('08:40'))
    judged.at('08:40')
    expect(judged.stands('E-01')).toEqual([])
    expect(raisedIn(judged.at(at('08:43') - 1), 'count-missing')).toEqual([])
    expect(raisedIn(judged.at('08:43'), 'count-missing')).toEqual([
      { key: 'count-missing:E-01', at: at('08:43') },
    ])
  })
})

describe('line too long', () => {
  /** Three stations at 1.5 minutes: two voters a minute, so 60 in line is 30 minutes. */
  const line = (inLine: number, time: string, stationsWorking?: number) =>
    says('E-01', time, 'LineReported', {
      inLine,
      ...(stationsWorking === undefined ? {} : { stationsWorking }),
    })

  it('is raised over half an hour, not at it, when it has been so for two minutes', () => {
    expect(raisedIn(judging(one('E-01', [line(60, '09:00')])).at('09:04'))).toEqual([])
    const judged = judging(one('E-01', [line(61, '09:00')]))
    expect(raisedIn(judged.at(at('09:02') - 1))).toEqual([])
    expect(raisedIn(judged.at('09:02'))).toEqual([{ key: 'long-line:E-01', at: at('09:02') }])
  })

  it('stays between 20 and 30 minutes and ends under 20, after its hold', () => {
    const day = one('E-01', [line(80, '09:00')])
    const judged = judging(day)
    judged.at('09:02')
    more(day, line(40, '09:05'))
    judged.at('09:05')
    judged.at('09:09:59')
    expect(judged.stands('E-01')).toEqual(['long-line:E-01'])
    more(day, line(39, '09:10'), alive('09:12'))
    judged.at('09:10')
    expect(endedIn(judged.at('09:14:59'))).toEqual([])
    expect(endedIn(judged.at('09:15'))).toEqual([{ key: 'long-line:E-01', at: at('09:15') }])
    expect(raisedIn(judging(one('E-01', [line(40, '09:00')])).at('09:04'))).toEqual([])
  })

  it('goes by the stations that work, where they were reported', () => {
    const day = one('E-01', [line(25, '09:00', 1)])
    expect(raisedIn(judging(day).at('09:02')).map(r => r.key)).toEqual(['long-line:E-01'])
    expect(day.p('E-01').reasons['long-line:E-01']!.evidence).toMatchObject({ stations: 1, waitMinutes: 38 })
    const none = one('E-01', [line(5, '09:00', 0)])
    judging(none).at('09:02')
    expect(none.p('E-01').reasons['long-line:E-01']!.evidence.waitMinutes).toBe(1_440)
  })

  it('shows a slowly growing line again after a quarter of an hour, not before', () => {
    const day = one('E-01', [line(69, '09:00')])
    const judged = judging(day)
    judged.at('09:02')
    more(day, line(72, '09:10'), alive('09:15'))
    judged.at('09:16:59')
    expect(day.p('E-01').reasons['long-line:E-01']!.evidence.inLine).toBe(69)
    judged.at('09:17')
    expect(day.p('E-01').reasons['long-line:E-01']!.evidence.inLine).toBe(72)
  })

  it('is held while the precinct is silent: nothing is known to be better', () => {
    const day = one('E-01', [line(80, '09:00')])
    const judged = judging(day)
    judged.at('09:02')
    judged.at('11:00')
    expect(judged.stands('E-01')).toEqual(['long-line:E-01', 'silent:E-01'])
  })

  it('is not made from a line reported longer ago than counts may be', () => {
    const judged = judging(one('E-01', [line(80, '07:00'), alive('08:15')]))
    expect(raisedIn(judged.at('08:15'), 'long-line')).toEqual([])
  })
})

describe('ballots low', () => {
  const left = (ballotsLeft: number, time: string) =>
    says('E-01', time, 'CountsReported', { ballotsLeft, asOf: iso(time) })

  it('is raised where fewer are left than voters expected with the margin, after its five minutes', () => {
    // At 8:30 800 voters are still expected: 840 with the margin.
    const enough = judging(one('E-01', [left(840, '08:30'), alive('08:33')]))
    expect(raisedIn(enough.at('08:35'), 'ballots-low')).toEqual([])
    const judged = judging(one('E-01', [left(830, '08:30'), alive('08:33')]))
    expect(raisedIn(judged.at(at('08:35') - 1), 'ballots-low')).toEqual([])
    expect(raisedIn(judged.at('08:35'), 'ballots-low')).toEqual([
      { key: 'ballots-low:E-01', at: at('08:35') },
    ])
  })

  it('says when the last goes, and puts those after it at risk', () => {
    const day = one('E-01', [left(100, '08:30'), alive('08:34')])
    judging(day).at('08:35')
    const reason = day.p('E-01').reasons['ballots-low:E-01']!
    expect(reason.evidence).toMatchObject({ counted: 100, runsOutAt: at('10:00') })
    expect(reason.voterMinutes).toBe(0)
    const near = one('E-01', [left(20, '08:30'), alive('08:34')])
    judging(near).at('08:35')
    expect(near.p('E-01').reasons['ballots-low:E-01']!.voterMinutes).toBeGreaterThan(500)
  })

  it('ends when a count shows enough and five in a hundred more', () => {
    const day = one('E-01', [left(700, '08:30'), alive('08:34')])
    const judged = judging(day)
    judged.at('08:35')
    more(day, left(860, '08:36'))
    judged.at('08:36')
    more(day, alive('08:45'))
    judged.at('08:46')
    expect(judged.stands('E-01')).toContain('ballots-low:E-01')
    more(day, left(880, '08:47'))
    judged.at('08:47')
    more(day, alive('08:56'))
    expect(endedIn(judged.at('08:57'))).toEqual([{ key: 'ballots-low:E-01', at: at('08:57') }])
  })
})

describe('asking for help', () => {
  const asked = says('E-01', '10:00', 'HelpRequested', { about: 'power' })

  it('is raised at once and ends with a logged call', () => {
    const day = one('E-01', [asked])
    const judged = judging(day)
    expect(raisedIn(judged.at('10:00'))).toEqual([{ key: 'help-asked:E-01', at: at('10:00') }])
    more(day, desk('E-01', '10:05', 'CallLogged', { outcome: 'solved' }))
    expect(endedIn(judged.at('10:05')).map(e => e.key)).toContain('help-asked:E-01')
  })

  it('is heard after closing too', () => {
    const day = one('E-01', [
      says('E-01', '19:35', 'PollsClosed', {}),
      says('E-01', '20:00', 'HelpRequested', { about: 'custody' }),
    ])
    expect(raisedIn(judging(day).at('20:00')).map(r => r.key)).toEqual(['help-asked:E-01'])
  })
})

describe('a place that must be left', () => {
  const KEY = 'place-moved:E-01'
  const moved = says('E-01', '10:00', 'PlaceMoved', { cause: 'weather', to: 'the gym' })

  it('is raised at once, not a millisecond before, and tells the cause but not where it goes', () => {
    const day = one('E-01', [alive('09:59')])
    const judged = judging(day)
    expect(raisedIn(judged.at(at('10:00') - 1), 'place-moved')).toEqual([])
    more(day, moved)
    expect(raisedIn(judged.at('10:00'), 'place-moved')).toEqual([{ key: KEY, at: at('10:00') }])
    const reason = day.p('E-01').reasons[KEY]!
    expect(reason).toMatchObject({ tier: 'now', since: at('10:00') })
    expect(JSON.stringify(reason)).not.toContain('gym')
    expect(reasonWords(reason, day.index.brief).fact).toMatch(
      /^The precinct said at 10:00 that it must leave its building: weather\./,
    )
    expect(day.p('E-01').marks).toMatchObject([{ what: 'incident', at: at('10:00') }])
  })

  it('stands while it is only watched, and after closing; a solved call after it ends it', () => {
    const day = one('E-01', [moved, desk('E-01', '10:05', 'CallLogged', { outcome: 'watching' })])
    const judged = judging(day)
    judged.at('10:05')
    more(day, says('E-01', '19:35', 'PollsClosed', {}))
    judged.at('19:40')
    expect(judged.stands('E-01')).toContain(KEY)
    more(day, desk('E-01', '19:45', 'CallLogged', { outcome: 'solved' }))
    expect(endedIn(judged.at('19:45'))).toContainEqual({ key: KEY, at: at('19:45') })
  })

  it('is raised again when it moves again after the call', () => {
    const solved = desk('E-01', '10:05', 'CallLogged', { outcome: 'solved' })
    const again = says('E-01', '11:00', 'PlaceMoved', { cause: 'power', to: 'the school' })
    const judged = judging(one('E-01', [moved, solved, again]))
    expect(raisedIn(judged.at('11:00'), 'place-moved')).toEqual([{ key: KEY, at: at('11:00') }])
  })
})

describe('reports kept aside', () => {
  const KEY = 'kept-aside:E-01'
  const kept = (time: string, device: string, howMany: number) =>
    system('E-01', time, 'ReportsKeptAside', { device, howMany })
  const left = (time: string, device: string, number: number) => ({
    ...desk('E-01', time, 'AsideLeft', { device, number }, { number }),
    source: asideSource(device, number * 11),
  })

  it('are a reason from the moment they were kept, also after closing, until each has its answer', () => {
    const day = one('E-01', [says('E-01', '19:35', 'PollsClosed', {})])
    const judged = judging(day)
    expect(raisedIn(judged.at(at('20:00') - 1), 'kept-aside')).toEqual([])
    more(day, kept('20:00', 'd-old', 2))
    expect(raisedIn(judged.at('20:00'), 'kept-aside')).toEqual([{ key: KEY, at: at('20:00') }])
    const told = () => reasonWords(day.p('E-01').reasons[KEY]!, day.index.brief).fact
    expect(day.p('E-01').reasons[KEY]).toMatchObject({ tier: 'soon', since: at('20:00'), voterMinutes: 0 })
    expect(told()).toMatch(/^2 reports of a tablet .* are kept aside since 20:00\. .*“Kept aside”\.$/)
    more(day, kept('20:01', 'd-copy', 1), left('20:01', 'd-old', 4))
    judged.at('20:01')
    expect(told()).toMatch(/^2 reports of 2 tablets are kept aside/)
    more(day, left('20:02', 'd-copy', 9))
    expect(endedIn(judged.at('20:02'))).toEqual([])
    expect(told()).toMatch(/^1 report of a tablet .* is kept aside/)
    more(day, left('20:03', 'd-old', 5))
    expect(endedIn(judged.at('20:03'))).toEqual([{ key: KEY, at: at('20:03') }])
  })
})

describe('the evening', () => {
  it('not closed is raised 45 minutes after closing time, and ends with the closing', () => {
    const day = one('E-01', [alive('20:14')])
    const judged = judging(day)
    expect(raisedIn(judged.at(at('20:15') - 1), 'not-closed')).toEqual([])
    expect(raisedIn(judged.at('20:15'), 'not-closed')).toEqual([{ key: 'not-closed:E-01', at: at('20:15') }])
    more(day, says('E-01', '20:16', 'PollsClosed', {}))
    expect(endedIn(judged.at('20:16'))).toEqual([{ key: 'not-closed:E-01', at: at('20:16') }])
  })

  it('a return is overdue 90 minutes after it left, not before, until it is received', () => {
    const left = says('E-01', '20:30', 'ReturnDeparted', { carriers: 2, items: ['case'], seals: ['R-1'] })
    const day = one('E-01', [says('E-01', '19:40', 'PollsClosed', {}), left])
    const judged = judging(day)
    expect(raisedIn(judged.at(at('22:00') - 1))).toEqual([])
    expect(raisedIn(judged.at('22:00'))).toEqual([{ key: 'return-overdue:E-01', at: at('22:00') }])
    more(day, says('E-01', '22:10', 'ReturnReceived', { items: ['case'], seals: ['R-1'] }, { via: 'desk' }))
    expect(endedIn(judged.at('22:10'))).toEqual([{ key: 'return-overdue:E-01', at: at('22:10') }])
  })

  it('a return that has not left by the hour is overdue then', () => {
    const judged = judging(one('E-01', [says('E-01', '19:40', 'PollsClosed', {})]))
    expect(raisedIn(judged.at(at('22:00') - 1))).toEqual([])
    expect(raisedIn(judged.at('22:00'))).toEqual([{ key: 'return-overdue:E-01', at: at('22:00') }])
  })

  it('closing ends what no longer matters', () => {
    const day = one('E-01', [
      says('E-01', '18:00', 'EquipmentWentDown', { equipment: 'T-01' }),
      says('E-01', '18:01', 'LineReported', { inLine: 90 }),
    ])
    const judged = judging(day)
    judged.at('18:04')
    expect(judged.stands('E-01')).toEqual(['long-line:E-01', 'tabulator-down:E-01:T-01'])
    more(day, says('E-01', '19:40', 'PollsClosed', {}))
    judged.at('19:40')
    judged.at('19:46')
    expect(judged.stands('E-01')).toEqual([])
  })
})

it('a rule that policy leaves out raises nothing, and what stood by it ends', () => {
  const down = says('E-01', '09:12', 'EquipmentWentDown', { equipment: 'T-01' })
  const off = { rules: { 'tabulator-down': { enabled: false }, 'count-missing': { enabled: false } } }
  expect(raisedIn(judging(one('E-01', [down], off)).at('09:14'))).toEqual([])
  const judged = judging(one('E-01', [down, raised('E-01', '09:13', 'tabulator-down')], off))
  judged.at('09:14')
  expect(endedIn(judged.at('09:16'))).toEqual([{ key: 'tabulator-down:E-01', at: at('09:16') }])
})
