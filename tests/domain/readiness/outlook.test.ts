import { describe, expect, it } from 'vitest'
import { gatherDay } from '../../../server/domain/forecast/gather.ts'
import type { DayInput, PrecinctInput } from '../../../server/domain/forecast/input.ts'
import { indexOf } from '../../../server/domain/plan/brief.ts'
import { openingPaceOf, readyOutlook } from '../../../server/domain/readiness/outlook.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import { aPlan, DAY } from '../../support/aPlan.ts'
import { at } from '../../support/given.ts'

/** aPlan's day: report 5:30, polls 6:30 to 19:30; a tenth of the voters come in each of the first two hours. */
const index = indexOf(aPlan(), DAY)
const dayAt = (time: string): DayInput => gatherDay(index, at(time))
const CALM = { mean: 0, variance: 0.01 }

const all = {
  team: '05:35',
  ballots: '05:45',
  seals: '05:44',
  box: '05:50',
  tabulator: '05:56',
  tape: '06:04',
  roster: '05:50',
}
function precinct(done: Record<string, string>, expected = 1_000): PrecinctInput {
  const instants = Object.fromEntries(Object.entries(done).map(([code, time]) => [code, at(time)]))
  return { code: 'E-01', expected, opening: { network: 0, done: instants } } as unknown as PrecinctInput
}

describe('the outlook on an opening', () => {
  it('is none where the polls are open or nothing was heard', () => {
    const silent = { ...precinct({}), opening: null }
    expect(readyOutlook(dayAt('05:50'), { openingPace: CALM }, silent)).toBeNull()
    expect(openingPaceOf(dayAt('05:50'), [silent])).toEqual(openingPaceOf(dayAt('05:50'), []))
  })

  it('has voters wait half of the time from the legal hour on, where it is known when it was ready', () => {
    const late = readyOutlook(dayAt('07:10'), { openingPace: CALM }, precinct({ ...all, tape: '07:00' }))!
    // Half an hour late: 50 of 1,000 voters came, and waited 15 minutes on average.
    expect(late).toMatchObject({ chance: 0, by50: at('07:00'), holding: null })
    expect(late.latePeople).toBeCloseTo(50, 6)
    expect(late.lateVoterMinutes).toBeCloseTo(50 * 15, 6)
    const early = readyOutlook(dayAt('07:10'), { openingPace: CALM }, precinct(all))
    expect(early).toMatchObject({ latePeople: 0, lateVoterMinutes: 0 })
  })

  it('expects waiting over all the times at which it may be ready', () => {
    const early = readyOutlook(dayAt('05:40'), { openingPace: CALM }, precinct({ team: '05:38' }))!
    const late = readyOutlook(dayAt('06:20'), { openingPace: CALM }, precinct({ team: '06:15' }))!
    expect(early.lateVoterMinutes).toBeGreaterThan(0)
    expect(late.lateVoterMinutes).toBeGreaterThan(early.lateVoterMinutes * 5)
    // Waiting grows with the square of the delay: at least as at the middle, at most as at the late end.
    const [middle, end] = [late.by50, late.by90].map(
      by => ((by - at('06:30')) / MINUTE) ** 2 * (100 / 60 / 2),
    )
    expect(late.lateVoterMinutes).toBeGreaterThan(middle!)
    expect(late.lateVoterMinutes).toBeLessThan(end!)
    // People grow with the delay itself; of those who come the mean wait is half of a delay that is longer than usual.
    expect(late.latePeople).toBeGreaterThan(((late.by50 - at('06:30')) / MINUTE) * (100 / 60) * late.chance)
    expect(late.latePeople).toBeLessThan(((late.by90 - at('06:30')) / MINUTE) * (100 / 60))
    expect(late.lateVoterMinutes / late.latePeople).toBeLessThan((late.by90 - at('06:30')) / MINUTE / 2)
    const double = readyOutlook(dayAt('06:20'), { openingPace: CALM }, precinct({ team: '06:15' }, 2_000))!
    expect(double.latePeople / late.latePeople).toBeCloseTo(2, 9)
    expect(double.lateVoterMinutes / late.lateVoterMinutes).toBeCloseTo(2, 9)
  })

  it('goes by the county’s pace where a precinct has said little', () => {
    const day = dayAt('05:50')
    const slow = { ...all, team: '05:45' }
    const county = Array.from({ length: 60 }, () => precinct({ team: slow.team }))
    const pace = openingPaceOf(day, county)
    expect(pace.mean).toBeGreaterThan(0.3)
    const one = precinct({})
    const calm = readyOutlook(day, { openingPace: CALM }, one)!
    expect(readyOutlook(day, { openingPace: pace }, one)!.by50).toBeGreaterThan(calm.by50)
  })
})
