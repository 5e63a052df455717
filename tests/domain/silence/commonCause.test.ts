import { describe, expect, it } from 'vitest'
import { commonCauses } from '../../../server/domain/silence/commonCause.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import { aWidePlan } from '../../support/aPlan.ts'
import { at, type Given, givenPlan, iso, says, system } from '../../support/given.ts'
import { endedIn, judging, more, raisedIn } from '../calls/judging.ts'

const code = (i: number) => `W-${String(i).padStart(3, '0')}`
const range = (from: number, to: number) => Array.from({ length: to - from + 1 }, (_, k) => from + k)

/**
 * Forty precincts: 1 to 8 in the area North, 9 to 40 in South; every fourth has a tablet labelled `wide`, the others
 * `small`: four groups. Each was heard at a time of its own, and is silent five minutes after it.
 */
function county(heardAt: (i: number) => string = () => '08:59', policy = {}): Given {
  const base = aWidePlan(40, { policy: { rules: { 'count-missing': { enabled: false } }, ...policy } })
  const label = (i: number) => (i % 4 === 0 ? 'wide' : 'small')
  const plan = {
    ...base,
    places: base.places.map((p, i) => ({ ...p, area: i < 8 ? 'North' : 'South' })),
    equipment: [
      ...base.equipment,
      ...range(1, 40).map(i => ({
        tag: `D-${i}`,
        precinct: code(i),
        kind: 'tablet' as const,
        label: label(i),
      })),
    ],
  }
  return givenPlan(plan, ...range(1, 40).map(i => says(code(i), heardAt(i), 'PollsOpened', {})))
}
/** Some recorded as silent. */
const silent = (codes: readonly number[], time = '09:00', day = county()): Given => {
  more(
    day,
    ...codes.map(i =>
      system(code(i), time, 'PrecinctFellSilent', { heardAt: iso('08:55'), silentAt: iso(time) }),
    ),
  )
  return day
}
const causes = (day: Given) => commonCauses(day.state, day.index)
const named = (day: Given) => causes(day).map(c => `${c.kind}:${c.name}`)

describe('a cause that silent precincts share', () => {
  it('is an area whose silence is beyond chance', () => {
    const day = silent([1, 2, 3, 5], '09:00')
    // By hand: C(8,4) ÷ C(40,4) = 70 ÷ 91,390, and four groups.
    expect(causes(day)).toEqual([
      {
        kind: 'area',
        name: 'North',
        precincts: [1, 2, 3, 5].map(code),
        silentMembers: [1, 2, 3, 5].map(code),
        since: at('09:00'),
        members: 8,
        others: 32,
        chance: expect.closeTo(70 / 91_390, 12),
        groups: 4,
      },
    ])
  })

  it('is a kind of tablet, wherever they stand', () => {
    expect(named(silent([4, 12, 20, 28, 40]))).toEqual(['tablet:wide'])
  })

  it('is not named where chance would do it once in a hundred looks, counting every group', () => {
    // 3 of 3: C(8,3) ÷ C(40,3) = 56 ÷ 9,880 is below one in a hundred by itself, four times it isn't.
    expect((56 / 9_880) * 4).toBeGreaterThan(0.01)
    expect(named(silent([1, 2, 3]))).toEqual([])
    // 4 of 5: (70 · 32 + 56) ÷ 658,008 = 0.0035, four times 0.0140.
    expect(named(silent([1, 2, 3, 5, 20]))).toEqual([])
    // 5 of 6: (56 · 32 + 28) ÷ 3,838,380, four times 0.0019.
    expect(named(silent([1, 2, 3, 5, 6, 21]))).toEqual(['area:North'])
  })

  it('is none for two, and none for what everybody shares', () => {
    expect(named(silent([1, 2]))).toEqual([])
    const day = county()
    const places = day.plan.places.map(p => ({ ...p, area: 'All' }))
    const same = givenPlan(
      { ...day.plan, places, equipment: [] },
      ...range(1, 40).map(i => says(code(i), '08:59', 'PollsOpened', {})),
    )
    expect(named(silent(range(1, 20), '09:00', same))).toEqual([])
  })

  it('counts who fell silent within five minutes, to the millisecond', () => {
    const within = county()
    silent([1], '09:00', within)
    silent([2, 3, 5], '09:05', within)
    expect(causes(within)[0]?.precincts).toEqual([1, 2, 3, 5].map(code))
    const beyond = county()
    silent([1], '09:00', beyond)
    silent([2, 3, 5], '09:05:01', beyond)
    expect(named(beyond)).toEqual([])
  })

  it('began when the silence that put it beyond chance did', () => {
    const day = county()
    silent([1], '09:00', day)
    silent([2], '09:01', day)
    silent([3], '09:02', day)
    silent([5], '09:03', day)
    silent([6], '09:04', day)
    expect(causes(day)[0]).toMatchObject({ precincts: [1, 2, 3, 5, 6].map(code), since: at('09:03') })
  })

  it('asks only those of whom silence is asked', () => {
    const day = silent([1, 2, 3, 5])
    more(day, ...range(9, 40).map(i => says(code(i), '09:01', 'PollsClosed', {})))
    // Only the eight are left: four of them silent is nothing remarkable.
    expect(named(day)).toEqual([])
  })
})

describe('the reason for it', () => {
  const north = (i: number) => (i <= 4 ? '08:55' : '08:59:30')
  const key = 'silent-together:area:North'

  it('is the county’s, raised with the silence it stands on, with whom and how unlikely', () => {
    const day = county(north)
    const judged = judging(day)
    judged.at(at('09:00') - 1)
    expect(judged.stands(null)).toEqual([])
    judged.at('09:00')
    // What was recorded a moment ago is judged at the next look.
    expect(raisedIn(judged.at(at('09:00') + 250), 'silent-together')).toEqual([{ key, at: at('09:00') }])
    expect(day.state.reasons[key]).toMatchObject({
      rule: 'silent-together',
      tier: 'soon',
      precinct: null,
      evidence: {
        group: 'area',
        name: 'North',
        precincts: [1, 2, 3, 4].map(code),
        silent: 4,
        of: 8,
        otherSilent: 0,
        others: 32,
        groups: 4,
        chance: 0.00077,
        firstAt: at('09:00'),
        lastAt: at('09:00'),
      },
    })
    // A thousand voters each, a fifth of them in these three hours, and an assumed minute each.
    expect(day.state.reasons[key]!.voterMinutes).toBe(267)
  })

  it('takes in those of the group that follow, and is not written anew for who comes back', () => {
    const day = county(i => (i === 5 ? '08:57' : north(i)))
    const judged = judging(day)
    for (let now = at('09:00'); now <= at('09:01'); now += MINUTE / 4) judged.at(now)
    const later = []
    for (let now = at('09:02'); now <= at('09:04'); now += MINUTE / 4) later.push(...judged.at(now))
    expect(raisedIn(later, 'silent-together')).toHaveLength(1)
    expect(day.state.reasons[key]!.evidence.precincts).toEqual([1, 2, 3, 4, 5].map(code))
    more(day, ...range(5, 40).map(i => says(code(i), '09:04:10', 'LineReported', { inLine: 1 })))
    const after = []
    for (let now = at('09:04:15'); now <= at('09:06'); now += MINUTE / 4) after.push(...judged.at(now))
    expect(raisedIn(after, 'silent-together')).toEqual([])
    expect(judged.stands(null)).toEqual([key])
  })

  it('counts whoever it names, however many stretches of five minutes they fell silent in', () => {
    const hearing = (i: number) => (i <= 4 ? '08:55' : i <= 8 ? '09:02' : i === 9 ? '09:01' : '09:30')
    const day = county(hearing)
    const judged = judging(day)
    for (let now = at('09:00'); now <= at('09:12'); now += MINUTE / 4) judged.at(now)
    expect(day.state.reasons[key]!.evidence).toMatchObject({
      precincts: range(1, 8).map(code),
      silent: 8,
      of: 8,
      otherSilent: 1,
      others: 32,
      firstAt: at('09:00'),
      lastAt: at('09:07'),
    })
  })

  it('ends when fewer than two of them are still silent, after its hold of a minute', () => {
    const day = county(north)
    const judged = judging(day)
    judged.at('09:00')
    judged.at('09:00:10')
    const heard = (codes: number[], time: string) =>
      more(day, ...codes.map(i => says(code(i), time, 'LineReported', { inLine: 1 })))
    heard(range(5, 40), '09:02')
    heard([1, 2], '09:02')
    judged.at('09:02')
    judged.at('09:03:30')
    expect(judged.stands(null)).toEqual([key])
    heard([3], '09:04')
    judged.at('09:04')
    judged.at('09:04:10')
    expect(endedIn(judged.at('09:05:09')).filter(e => e.key === key)).toEqual([])
    expect(endedIn(judged.at('09:05:10')).filter(e => e.key === key)).toEqual([{ key, at: at('09:05:10') }])
  })

  it('is not told while our own link is what is broken, nor where policy leaves it out', () => {
    const all = county(i => (i <= 8 ? '08:55' : '08:55:20'))
    const judged = judging(all)
    for (let now = at('08:58'); now <= at('09:05'); now += MINUTE / 4) judged.at(now)
    expect(judged.stands(null)).toEqual(['own-link'])
    const off = county(north, {
      rules: { 'silent-together': { enabled: false }, 'count-missing': { enabled: false } },
    })
    const quiet = judging(off)
    quiet.at('09:00')
    quiet.at('09:00:10')
    expect(quiet.stands(null)).toEqual([])
  })
})
