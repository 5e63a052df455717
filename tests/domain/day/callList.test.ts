import { describe, expect, test } from 'vitest'
import { aWidePlan } from '../../support/aPlan.ts'
import { at, desk, given, givenPlan, iso, raised, type Said } from '../../support/given.ts'

const keys = (lines: ReadonlyArray<{ key: string }>) => lines.map(l => l.key)

describe('the call list', () => {
  test('is empty on a quiet day', () => {
    expect(given().calls('09:00')).toEqual([])
  })

  test('groups reasons by precinct, the gravest first', () => {
    const day = given(
      raised('E-01', '08:00', 'count-missing', { tier: 'watch' }),
      raised('E-01', '09:00', 'tabulator-down', { tier: 'now', voterMinutes: 300 }),
      raised('E-01', '08:30', 'silent', { tier: 'soon', voterMinutes: 500 }),
    )
    const [line, ...more] = day.calls('09:05')
    expect(more).toEqual([])
    expect(line).toMatchObject({ key: 'E-01', precincts: ['E-01'], tier: 'now', steppedBack: false })
    expect(line?.reasons.map(r => r.rule)).toEqual(['tabulator-down', 'silent', 'count-missing'])
    // The same voters wait for both: not the sum. It is on the list as `now` since then.
    expect(line?.voterMinutes).toBe(500)
    expect(line?.since).toBe(at('09:00'))
  })

  test('goes by tier, then voter-minutes, then since', () => {
    const plan = aWidePlan(6)
    const day = givenPlan(
      plan,
      raised('W-001', '08:00', 'count-missing', { tier: 'watch', voterMinutes: 9_000 }),
      raised('W-002', '08:00', 'ballots-low', { tier: 'soon', voterMinutes: 10 }),
      raised('W-003', '08:10', 'long-line', { tier: 'now', voterMinutes: 100 }),
      raised('W-004', '08:00', 'long-line', { tier: 'now', voterMinutes: 400 }),
      raised('W-005', '08:00', 'long-line', { tier: 'now', voterMinutes: 100 }),
      raised('W-006', '08:20', 'not-open', { tier: 'stop', voterMinutes: 0 }),
    )
    expect(keys(day.calls('09:00'))).toEqual(['W-006', 'W-004', 'W-005', 'W-003', 'W-002', 'W-001'])
  })

  test('lines that are taken or step back come after all others and keep their tier', () => {
    const day = given(
      raised('E-01', '08:00', 'not-open', { tier: 'stop' }),
      raised('E-02', '08:00', 'long-line', { tier: 'now' }),
      raised('E-03', '08:00', 'count-missing', { tier: 'watch' }),
      desk('E-01', '08:01', 'CallTaken', {}),
      desk('E-02', '08:02', 'CallDeferred', { until: iso('08:30') }),
    )
    expect(keys(day.calls('08:10'))).toEqual(['E-03', 'E-01', 'E-02'])
    expect(day.calls('08:10').map(l => l.steppedBack)).toEqual([false, true, true])
    expect(day.calls('08:10')[1]?.tier).toBe('stop')
  })

  test('a line comes back at the very instant that was agreed on', () => {
    const day = given(
      raised('E-01', '08:00', 'silent'),
      desk('E-01', '08:02', 'CallDeferred', { until: iso('08:30') }),
    )
    expect(day.calls('08:29:59')[0]?.steppedBack).toBe(true)
    expect(day.calls('08:30')[0]?.steppedBack).toBe(false)
  })

  test('P6 the county’s own link comes first of all', () => {
    const day = given(
      raised('E-01', '08:00', 'not-open', { tier: 'stop', voterMinutes: 9_000 }),
      raised(null, '08:05', 'own-link', { tier: 'stop' }),
    )
    expect(keys(day.calls('08:10'))).toEqual(['own-link', 'E-01'])
    expect(day.calls('08:10')[0]?.precincts).toEqual([])
  })
})

describe('one cause across many precincts', () => {
  const plan = aWidePlan(20)
  const code = (i: number) => `W-${String(i).padStart(3, '0')}`
  const silent = (from: number, to: number, time: (i: number) => string, more = {}): Said[] =>
    Array.from({ length: to - from + 1 }, (_, k) =>
      raised(code(from + k), time(from + k), 'silent', { tier: 'soon', voterMinutes: 10, ...more }),
    )
  const seconds = (i: number) => `09:00:${String(i).padStart(2, '0')}`

  test('four that fell silent within five minutes are one line', () => {
    const lines = givenPlan(plan, ...silent(1, 4, seconds)).calls('09:10')
    expect(lines).toHaveLength(1)
    expect(lines[0]).toMatchObject({
      key: `silent-together:${at('09:00:01')}`,
      precincts: ['W-001', 'W-002', 'W-003', 'W-004'],
      tier: 'soon',
      voterMinutes: 40,
      since: at('09:00:01'),
    })
  })

  test('three are three lines', () => {
    expect(givenPlan(plan, ...silent(1, 3, seconds)).calls('09:10')).toHaveLength(3)
  })

  test('four over more than five minutes are four lines', () => {
    const apart = silent(1, 4, i => `09:${String(i * 2).padStart(2, '0')}`)
    expect(givenPlan(plan, ...apart).calls('09:30')).toHaveLength(4)
  })

  test('one that fell silent earlier doesn’t hide the group that came after', () => {
    const lines = givenPlan(plan, ...silent(1, 1, () => '08:57'), ...silent(2, 6, () => '09:03')).calls(
      '09:10',
    )
    expect(lines.map(l => l.precincts.length).sort()).toEqual([1, 5])
  })

  test('a graver reason of one of them stands on a line of its own too', () => {
    const day = givenPlan(
      plan,
      ...silent(1, 5, seconds),
      raised('W-002', '08:50', 'tabulator-down', { tier: 'now', voterMinutes: 70 }),
      raised('W-002', '08:51', 'count-missing', { tier: 'watch' }),
      raised('W-003', '08:52', 'slot-in-use', { tier: 'watch' }),
    )
    const [own, shared, ...more] = day.calls('09:10')
    expect(more).toEqual([])
    expect(own?.key).toBe('W-002')
    expect(own?.reasons.map(r => r.rule)).toEqual(['tabulator-down', 'count-missing'])
    expect(shared?.precincts).toContain('W-002')
    // The lesser matter of the third isn't lost: it stands on the shared line.
    expect(shared?.reasons.map(r => r.rule).filter(r => r !== 'silent')).toEqual(['slot-in-use'])
  })

  test('is taken where all of them are, and not where some are', () => {
    const take = (i: number) => desk(code(i), '09:05', 'CallTaken', {})
    const all = givenPlan(plan, ...silent(1, 4, seconds), take(1), take(2), take(3), take(4)).calls('09:10')
    expect(all[0]).toMatchObject({ steppedBack: true, call: { takenBy: 'ada' } })
    const some = givenPlan(plan, ...silent(1, 4, seconds), take(1), take(2)).calls('09:10')
    expect(some[0]).toMatchObject({ steppedBack: false, call: { takenBy: null } })
  })

  test('steps back until the first of them returns', () => {
    const defer = (i: number, until: string) => desk(code(i), '09:05', 'CallDeferred', { until: iso(until) })
    const said = [1, 2, 3, 4].map(i => defer(i, `09:${20 + i}`))
    const day = givenPlan(plan, ...silent(1, 4, seconds), ...said)
    expect(day.calls('09:20')[0]).toMatchObject({ steppedBack: true, call: { backUntil: at('09:21') } })
    expect(day.calls('09:21')[0]?.steppedBack).toBe(false)
  })

  test('of very many the line stays small', () => {
    const wide = aWidePlan(300)
    const many = givenPlan(wide, ...silent(1, 300, () => '09:00')).calls('09:10')
    expect(many).toHaveLength(1)
    expect(many[0]?.precincts).toHaveLength(300)
    expect(many[0]?.reasons.length).toBeLessThanOrEqual(20)
  })
})

describe('a cause that silent precincts share', () => {
  const plan = aWidePlan(20)
  const code = (i: number) => `W-${String(i).padStart(3, '0')}`
  const cause = (name: string, codes: number[], more = {}): Said => ({
    ...raised(null, '09:01', 'silent-together', {
      key: `silent-together:area:${name}`,
      tier: 'soon',
      voterMinutes: 50,
      evidence: { group: 'area', name, precincts: codes.map(code) },
      ...more,
    }),
  })
  const silent = (codes: number[], time = '09:00') =>
    codes.map(i => raised(code(i), time, 'silent', { tier: 'soon', voterMinutes: 10 }))

  test('is one line of those that it names, by its key, and first of its reasons', () => {
    const [line, ...others] = givenPlan(plan, ...silent([1, 2, 3]), cause('North', [1, 2, 3])).calls('09:10')
    expect(others).toEqual([])
    expect(line).toMatchObject({
      key: 'silent-together:area:North',
      precincts: ['W-001', 'W-002', 'W-003'],
      tier: 'soon',
      voterMinutes: 30,
      steppedBack: false,
    })
    expect(line?.reasons.map(r => r.rule)).toEqual(['silent-together', 'silent', 'silent', 'silent'])
  })

  test('stands in its tier’s place, after what is graver', () => {
    const day = givenPlan(
      plan,
      ...silent([1, 2, 3]),
      cause('North', [1, 2, 3]),
      raised('W-009', '09:05', 'not-open', { tier: 'stop' }),
    )
    expect(keys(day.calls('09:10'))).toEqual(['W-009', 'silent-together:area:North'])
  })

  test('leaves the others to be grouped by their five minutes, or to stand alone', () => {
    const day = givenPlan(
      plan,
      ...silent([1, 2, 3, 4, 5, 6, 7]),
      ...silent([9], '09:30'),
      cause('North', [1, 2, 3]),
    )
    expect(
      day
        .calls('09:40')
        .map(l => l.precincts.length)
        .sort(),
    ).toEqual([1, 3, 4])
    const few = givenPlan(plan, ...silent([1, 2, 3, 4, 5, 6]), cause('North', [1, 2, 3]))
    expect(few.calls('09:10').map(l => l.precincts.length)).toEqual([3, 1, 1, 1])
  })

  test('a precinct of theirs with a graver reason has its own line too, for all but its silence', () => {
    const day = givenPlan(
      plan,
      ...silent([1, 2, 3]),
      cause('North', [1, 2, 3]),
      raised('W-002', '08:50', 'tabulator-down', { tier: 'now', voterMinutes: 70 }),
      raised('W-003', '08:50', 'slot-in-use', { tier: 'watch' }),
    )
    const [own, shared, ...others] = day.calls('09:10')
    expect(others).toEqual([])
    expect(own).toMatchObject({ key: 'W-002', precincts: ['W-002'] })
    expect(own?.reasons.map(r => r.rule)).toEqual(['tabulator-down'])
    expect(shared?.precincts).toEqual(['W-001', 'W-002', 'W-003'])
    expect(shared?.reasons.at(-1)?.rule).toBe('slot-in-use')
  })

  test('of two that name the same precincts the graver has them, and none is lost', () => {
    const both = [cause('North', [1, 2, 3]), cause('Coast', [1, 2, 3], { voterMinutes: 90 })]
    const lines = givenPlan(plan, ...silent([1, 2, 3]), ...both).calls('09:10')
    expect(keys(lines)).toEqual(['silent-together:area:Coast'])
    expect(lines[0]?.reasons.slice(0, 2).map(r => r.key)).toEqual([
      'silent-together:area:Coast',
      'silent-together:area:North',
    ])
  })

  test('who was heard again leaves the line; of nobody it is a line of the county until it ends', () => {
    const said = [cause('North', [1, 2, 3]), ...silent([1, 2])]
    expect(givenPlan(plan, ...said).calls('09:10')[0]?.precincts).toEqual(['W-001', 'W-002'])
    const nobody = givenPlan(plan, cause('North', [1, 2, 3])).calls('09:10')
    expect(nobody).toMatchObject([{ key: 'silent-together:area:North', precincts: [] }])
  })

  test('is taken where all of them are', () => {
    const take = (i: number) => desk(code(i), '09:05', 'CallTaken', {})
    const said = [...silent([1, 2, 3]), cause('North', [1, 2, 3])]
    expect(givenPlan(plan, ...said, take(1), take(2), take(3)).calls('09:10')[0]).toMatchObject({
      steppedBack: true,
      call: { takenBy: 'ada' },
    })
    expect(givenPlan(plan, ...said, take(1)).calls('09:10')[0]?.steppedBack).toBe(false)
  })
})
