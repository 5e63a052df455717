import { describe, expect, it } from 'vitest'
import { nothingPending, verdicts } from '../../../server/domain/calls/verdicts.ts'
import type { Draft } from '../../../server/domain/log/entry.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import { aPlan, aWidePlan } from '../../support/aPlan.ts'
import { at, type Given, givenPlan, iso, says, system } from '../../support/given.ts'
import { endedIn, judging, more, raisedIn, write } from './judging.ts'

/**
 * The system stands still and goes on: what it remembered outside the log is gone, a grace begins (policy: 3
 * minutes). Whatever stood before stands on; nothing is said that an uninterrupted system would not have said.
 */
const restarted = (time: string) =>
  system(null, time, 'ServiceResumed', { lastKnownAt: iso('08:00'), graceUntil: iso(plus(time, 3)) })
const plus = (time: string, minutes: number) => {
  const [h, m] = time.split(':').map(Number) as [number, number]
  const sum = h * 60 + m + minutes
  return `${String(Math.floor(sum / 60)).padStart(2, '0')}:${String(sum % 60).padStart(2, '0')}`
}
const verdictsOf = (drafts: readonly Draft[]) => drafts.map(d => d.kind)

/** Judges every ten seconds; all that was said of reasons and silence. */
function watch(day: Given, from: string, to: string): Draft[] {
  const said: Draft[] = []
  let pending = nothingPending()
  for (let now = at(from); now <= at(to); now += MINUTE / 6) {
    const judged = verdicts(day.state, day.index, now, pending)
    pending = judged.pending
    write(day, judged.drafts, now)
    said.push(...judged.drafts)
  }
  return said
}

const openWithLongLine = () => [
  says('E-01', '05:40', 'TeamReported', { present: 8, missing: [] }),
  says('E-01', '06:30', 'PollsOpened', {}),
  says('E-01', '07:00', 'LineReported', { inLine: 90 }),
]

describe('a restart', () => {
  it('P8: says nothing again of a silent precinct, and ends nothing of it, in the grace or after it', () => {
    const day = givenPlan(aPlan(), ...openWithLongLine())
    const before = watch(day, '07:01', '08:09')
    expect(before.map(d => d.precinct === 'E-01' && d.kind)).toContain('PrecinctFellSilent')
    const stood = Object.keys(day.p('E-01').reasons).sort()
    expect(stood).toContain('silent:E-01')
    more(day, restarted('08:10'))
    expect(watch(day, '08:10', '08:12').filter(d => d.precinct === 'E-01')).toEqual([])
    const after = watch(day, '08:12', '08:30').filter(d => d.precinct === 'E-01')
    expect(raisedIn(after, 'silent')).toEqual([])
    expect(endedIn(after)).toEqual([])
    expect(Object.keys(day.p('E-01').reasons).sort()).toEqual(stood)
  })

  it('P8: raises nothing on the old figures of a silent precinct while its grace runs', () => {
    // The line was short when the precinct fell silent, and its next figure came with a device that died at once.
    const day = givenPlan(
      aPlan(),
      says('E-01', '05:40', 'TeamReported', { present: 8, missing: [] }),
      says('E-01', '06:30', 'PollsOpened', {}),
      system('E-01', '07:05', 'PrecinctFellSilent', { heardAt: iso('07:00'), silentAt: iso('07:05') }),
      says('E-01', '06:58', 'LineReported', { inLine: 90 }, { recorded: '07:00' }),
    )
    expect(raisedIn(watch(day, '07:06', '07:10'), 'long-line')).toEqual([])
    more(day, restarted('07:12'))
    expect(raisedIn(watch(day, '07:12', '07:20'), 'long-line')).toEqual([])
  })

  it('P8: leaves our own broken link standing until devices are heard, whatever grace begins', () => {
    const plan = aWidePlan(8)
    const day = givenPlan(
      plan,
      ...plan.precincts.flatMap(p => [
        says(p.code, '05:40', 'TeamReported', { present: 8, missing: [] }),
        says(p.code, '06:30', 'PollsOpened', {}),
      ]),
    )
    const judge = judging(day)
    for (let now = at('06:31'); now <= at('06:45'); now += MINUTE / 6) judge.at(now)
    expect(judge.stands(null)).toEqual(['own-link'])
    more(day, restarted('06:46'))
    const after = watch(day, '06:46', '06:55')
    expect(endedIn(after)).toEqual([])
    expect(raisedIn(after, 'own-link').map(r => r.key)).toEqual([])
    // Devices are heard again: now it ends, once.
    more(day, ...plan.precincts.map(p => says(p.code, '06:56', 'LineReported', { inLine: 2 })))
    expect(endedIn(watch(day, '06:56', '07:00')).map(e => e.key)).toContain('own-link')
  })

  it('P8: gives those who were not silent the whole grace, and then says it once', () => {
    const day = givenPlan(aPlan(), ...openWithLongLine().slice(0, 2))
    more(day, restarted('07:30'))
    const inGrace = watch(day, '07:30', '07:32').filter(d => d.precinct === 'E-01')
    expect(verdictsOf(inGrace)).not.toContain('PrecinctFellSilent')
    const after = watch(day, '07:33', '07:50').filter(d => d.precinct === 'E-01')
    expect(verdictsOf(after).filter(k => k === 'PrecinctFellSilent')).toHaveLength(1)
    expect(raisedIn(after, 'silent')).toEqual([{ key: 'silent:E-01', at: at('07:33') }])
  })
})
