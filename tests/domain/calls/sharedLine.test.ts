import { describe, expect, it } from 'vitest'
import { lineWords } from '../../../server/domain/calls/words.ts'
import { aPlan, type PlanInput } from '../../support/aPlan.ts'
import { at, type Given, givenPlan, type Said, says } from '../../support/given.ts'
import { endedIn, judging, more, raisedIn } from './judging.ts'

/** E-01 and E-02 in one place; 3 and 6 check-in stations at 1.5 minutes a voter: 6 voters a minute together. */
function inOnePlace(
  line: 'shared' | 'own' | undefined,
  said: Said[] = [],
  policy: PlanInput['policy'] = {},
): Given {
  const base = aPlan({
    policy: { rules: { 'count-missing': { enabled: false } }, heartbeat: HEARD, ...policy },
  })
  const places = base.places.map(p => (p.code === 'PL-01' && line ? { ...p, line } : p))
  const precincts = base.precincts.map(p => (p.code === 'E-02' ? { ...p, place: 'PL-01' } : p))
  return givenPlan(
    { ...base, places, precincts },
    says('E-01', '06:28', 'PollsOpened', {}),
    says('E-02', '06:28', 'PollsOpened', {}),
    ...said,
  )
}
/** Silence would hold the line as it is: most of these days aren’t about that. */
const HEARD = { lateAfterSeconds: 3_600, silentAfterSeconds: 7_200 }
const inLine = (code: string, time: string, howMany: number, stationsWorking?: number) =>
  says(code, time, 'LineReported', {
    inLine: howMany,
    ...(stationsWorking === undefined ? {} : { stationsWorking }),
  })
const lines = (day: Given) =>
  ['E-01', 'E-02']
    .flatMap(code => Object.keys(day.p(code).reasons))
    .filter(key => key.startsWith('long-line'))

describe('precincts that stand in one line', () => {
  it('have one reason whoever reports it, with the stations of all', () => {
    for (const reporter of ['E-01', 'E-02']) {
      // 200 ÷ 6 a minute = 33 minutes: long.
      const day = inOnePlace('shared', [inLine(reporter, '09:00', 200)])
      const judged = judging(day)
      expect(raisedIn(judged.at(at('09:02') - 1), 'long-line')).toEqual([])
      expect(raisedIn(judged.at('09:02'), 'long-line')).toEqual([{ key: 'long-line:E-01', at: at('09:02') }])
      const reason = day.p('E-01').reasons['long-line:E-01']!
      expect(reason.evidence).toMatchObject({
        inLine: 200,
        stations: 9,
        waitMinutes: 33,
        sharedBy: ['E-01', 'E-02'],
      })
      expect(lines(day)).toEqual(['long-line:E-01'])
    }
  })

  it('are not judged each by its own stations: what is long before three is not before nine', () => {
    const said = [inLine('E-01', '09:00', 120), inLine('E-02', '09:00', 120)]
    const shared = inOnePlace('shared', said)
    judging(shared).at('09:05')
    expect(lines(shared)).toEqual([])
    for (const line of ['own', undefined] as const) {
      const own = inOnePlace(line, said)
      judging(own).at('09:05')
      // 120 ÷ 2 a minute is an hour at E-01; ÷ 4 a minute is half an hour at E-02, which is not over it.
      expect(lines(own)).toEqual(['long-line:E-01'])
    }
  })

  it('the last report counts, from whichever of them; they don’t flap between each other', () => {
    const day = inOnePlace('shared', [inLine('E-01', '09:00', 200)])
    const judged = judging(day)
    judged.at('09:02')
    more(day, inLine('E-02', '09:10', 210))
    expect(raisedIn(judged.at('09:10'), 'long-line')).toEqual([])
    expect(endedIn(judged.at('09:20'))).toEqual([])
    more(day, inLine('E-02', '09:30', 60))
    judged.at('09:30')
    expect(endedIn(judged.at(at('09:35') - 1))).toEqual([])
    expect(endedIn(judged.at('09:35'))).toEqual([{ key: 'long-line:E-01', at: at('09:35') }])
    expect(lines(day)).toEqual([])
  })

  it('of two reports of one instant the first in the plan’s order counts, whatever came first', () => {
    for (const said of [
      [inLine('E-01', '09:00', 300), inLine('E-02', '09:00', 10)],
      [inLine('E-02', '09:00', 10), inLine('E-01', '09:00', 300)],
    ]) {
      const day = inOnePlace('shared', said)
      judging(day).at('09:03')
      expect(day.p('E-01').reasons['long-line:E-01']?.evidence.inLine).toBe(300)
    }
  })

  it('is judged at once where only the sibling changed, and once in one look', () => {
    const day = inOnePlace('shared', [inLine('E-02', '09:00', 200)])
    expect(raisedIn(judging(day).at('09:02', ['E-02']), 'long-line')).toHaveLength(1)
    const both = inOnePlace('shared', [inLine('E-02', '09:00', 200)])
    expect(raisedIn(judging(both).at('09:02', ['E-02', 'E-01']), 'long-line')).toHaveLength(1)
  })

  it('is not held back by one that is silent while another is heard', () => {
    const policy = { heartbeat: { lateAfterSeconds: 60, silentAfterSeconds: 600 } }
    const day = inOnePlace('shared', [inLine('E-02', '09:00', 200)], policy)
    const judged = judging(day)
    judged.at('09:03')
    expect(day.p('E-01').silentSince).not.toBeNull()
    expect(lines(day)).toEqual(['long-line:E-01'])
    more(day, inLine('E-02', '09:08', 20))
    judged.at('09:08')
    judged.at('09:13')
    expect(lines(day)).toEqual([])
  })

  it('goes on with the stations of those whose polls are open, until all are closed', () => {
    const day = inOnePlace('shared', [inLine('E-02', '19:25', 250)])
    const judged = judging(day)
    judged.at('19:28')
    more(day, says('E-01', '19:31', 'PollsClosed', { stillInLine: 0 }), inLine('E-02', '19:32', 220))
    judged.at('19:33')
    judged.at('19:40')
    expect(lines(day)).toEqual(['long-line:E-01'])
    expect(day.p('E-01').reasons['long-line:E-01']!.evidence).toMatchObject({
      stations: 6,
      sharedBy: ['E-02'],
    })
    more(day, says('E-02', '19:45', 'PollsClosed', { stillInLine: 0 }))
    judged.at('19:45')
    judged.at('19:50')
    expect(lines(day)).toEqual([])
  })

  it('stands on the call list once and says whose line it is', () => {
    const day = inOnePlace('shared', [inLine('E-01', '09:00', 200), inLine('E-02', '09:01', 200, 6)])
    judging(day).at('09:05')
    const found = day.calls('09:05').filter(line => line.reasons.some(r => r.rule === 'long-line'))
    expect(found.map(line => line.precincts)).toEqual([['E-01']])
    expect(lineWords(found[0]!, day.index.brief).fact).toContain(
      '200 were in line at 09:01, in the one line of Harbor and Mill. With 9 check-in stations the last of them waits about',
    )
  })

  it('weighs as much as all of their voters', () => {
    const risk = (line: 'shared' | 'own') => {
      const day = inOnePlace(line, [inLine('E-01', '09:00', 200, 3), inLine('E-02', '08:59', 0)])
      judging(day).at('09:05')
      return day.p('E-01').reasons['long-line:E-01']!.voterMinutes
    }
    // The same 200 people before nine stations instead of three: less waiting, though more still come.
    expect(risk('shared')).toBeGreaterThan(0)
    expect(risk('shared')).toBeLessThan(risk('own'))
  })
})
