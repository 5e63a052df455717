import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { practiceDay } from '../../seed/simulator/script.ts'
import { code } from '../../server/domain/log/fields.ts'
import { indexOf } from '../../server/domain/plan/brief.ts'
import { codesOf, keyOf } from '../../server/domain/plan/fromFeedCodes.ts'
import {
  election,
  feedOf,
  hours,
  locality,
  location,
  precinct,
  root,
  smallElements,
  source,
  state,
  usualHours,
  wideFeed,
} from '../support/aFeed.ts'
import { goodPlanOf, planOf } from '../support/feedPlan.ts'

const names = (plan: { precincts: Array<{ name: string }> }) => plan.precincts.map(p => p.name)
const refusal = async (...given: Parameters<typeof planOf>) => {
  const made = await planOf(...given)
  return 'refusal' in made ? made.refusal : 'a plan'
}
const at = (id: string, more = {}) => precinct(id, { PollingLocationIds: `l-${id}`, ...more })
const hall = (id: string, ...more: unknown[]) => location(`l-${id}`, ...(more as [Record<string, string>]))

describe('precincts of a feed', () => {
  it('that are splits of one name, however spelt, are one operational precinct', async () => {
    const { plan, assumed } = await goodPlanOf(root(smallElements()))
    expect(names(plan)).toEqual(['Gull Point', 'Harbor', 'Mill'])
    expect(assumed('splits')).toMatchObject({ precincts: 1, names: ['Harbor'] })
    expect(assumed('several in one place')).toMatchObject({ names: ['Gull Point', 'Mill'] })
    expect(new Set(plan.precincts.map(p => p.place)).size).toBe(2)
  })

  it('that share a name but not the number or ward stay apart, and the number stands beside the name', async () => {
    const { plan, assumed } = await goodPlanOf(
      feedOf([
        hall('a'),
        at('a', { Name: 'North', Number: '1' }),
        precinct('b', { Name: 'North', Number: '2', PollingLocationIds: 'l-a' }),
        precinct('c', { Name: 'North', Number: '2', Ward: '7', PollingLocationIds: 'l-a' }),
      ]),
    )
    expect(names(plan)).toEqual(['North (1)', 'North (2)', 'North (ward 7, 2)'])
    expect(assumed('same name')?.precincts).toBe(3)
  })

  it('whose splits vote at different places are one for each place', async () => {
    const both = { Name: 'Split', Number: '1' }
    const { plan, assumed } = await goodPlanOf(
      feedOf([hall('a'), hall('b'), at('a', both), at('b', { ...both, PrecinctSplitName: 'B' })]),
    )
    expect(names(plan)).toEqual(['Split (Hall l-a)', 'Split (Hall l-b)'])
    expect(assumed('splits apart')?.precincts).toBe(2)
  })

  it('without a polling place keep their row, at a place that says so', async () => {
    const { plan, assumed } = await goodPlanOf(feedOf([hall('a'), at('a'), precinct('lost')]))
    const lost = plan.precincts.find(p => p.name === 'Precinct lost')!
    expect(plan.places.find(p => p.code === lost.place)?.name).toBe('No place given: Precinct lost')
    expect(assumed('no polling place')).toMatchObject({ precincts: 1, names: ['Precinct lost'] })
  })

  it('without a place of their own sit at the only one of their locality', async () => {
    const { plan, assumed } = await goodPlanOf(
      root([
        source(),
        election(),
        state(),
        usualHours(),
        locality('loc', 'Ellery', { PollingLocationIds: 'l-a' }),
        hall('a'),
        precinct('x'),
        precinct('y'),
      ]),
    )
    expect(plan.places).toHaveLength(1)
    expect(assumed('place of the locality')?.names).toEqual([])
    expect(assumed('place of the locality')?.precincts).toBe(2)
  })

  it('of mail voters, or with early sites and drop boxes alone, are left out and listed', async () => {
    const { plan, left } = await goodPlanOf(
      feedOf([
        hall('a'),
        at('a'),
        location('box', { IsDropBox: true, Name: 'Box' }),
        location('early', { IsEarlyVoting: true, Name: 'Early site' }),
        precinct('m', { IsMailOnly: true }),
        precinct('e', { PollingLocationIds: 'box early' }),
        precinct('n', { PollingLocationIds: 'l-a box early', Name: 'Both' }),
      ]),
    )
    expect(names(plan)).toEqual(['Both', 'Precinct a'])
    expect(left('precincts of mail voters')).toEqual(['Precinct m'])
    expect(left('precincts that name nothing but early-voting sites and drop boxes')).toEqual(['Precinct e'])
    expect(left('drop boxes')).toEqual(['Box'])
    expect(left('early-voting sites that are not open on election day')).toEqual(['Early site'])
  })

  it('that no precinct names are vote centers, which have no registered voters', async () => {
    const { plan, assumed } = await goodPlanOf(
      root([
        source(),
        election(),
        state(),
        usualHours(),
        locality('loc', 'Ellery', { PollingLocationIds: 'l-a l-b' }),
        hall('a'),
        hall('b'),
        hall('orphan'),
        precinct('x'),
        precinct('y'),
        precinct('z'),
      ]),
    )
    expect(names(plan)).toEqual(['Hall l-a', 'Hall l-b', 'Hall l-orphan'])
    expect(plan.precincts.map(p => p.registered)).toEqual([0, 0, 0])
    expect(plan.precincts.every(p => p.serves === 'everyone')).toBe(true)
    // Three precincts of 480 voters, divided among three centers.
    expect(plan.precincts.map(p => p.expected)).toEqual([480, 480, 480])
    expect(assumed('vote centers')?.what).toContain('3 precincts that are served so have no row')
    expect(assumed('vote centers that nothing names')?.names).toEqual(['Hall l-orphan'])
  })

  it('that may all vote at any of several places make one row of each place, not one of each pair', async () => {
    const many = Array.from({ length: 50 }, (_, i) => precinct(`p${i}`, { PollingLocationIds: 'l-a l-b' }))
    const { plan } = await goodPlanOf(feedOf([hall('a'), hall('b'), ...many]))
    expect(names(plan)).toEqual(['Hall l-a', 'Hall l-b'])
    expect(plan.precincts.map(p => p.expected)).toEqual([12_000, 12_000])
    expect(plan.precincts.every(p => p.stations === 47 && p.workers === 50)).toBe(true)
  })
})

describe('places of a feed', () => {
  it('with the same name and address, as an early site and on the day, are one', async () => {
    const twin = (id: string, more = {}) =>
      location(id, { Name: 'Hall', ...more }, null).replaceAll(`${id} Quay`, '1 Quay')
    const { plan } = await goodPlanOf(
      feedOf([
        twin('x'),
        twin('y'),
        precinct('a', { PollingLocationIds: 'x' }),
        precinct('b', { PollingLocationIds: 'y' }),
      ]),
    )
    expect(plan.places).toHaveLength(1)
  })

  it('of early voting that are open on the day too stay, and are listed', async () => {
    const { assumed } = await goodPlanOf(
      feedOf([
        hours('long', [['08:00:00-05:00', '18:00:00-05:00']], '2026-10-20', '2026-11-03'),
        hall('a', { IsEarlyVoting: true, HoursOpenId: 'long' }),
        at('a'),
      ]),
    )
    expect(assumed('early site open on the day')?.precincts).toBe(1)
  })

  it('without a position, or far from all others, stand in the middle of the others', async () => {
    const near: Array<[number, number]> = [
      [41.4, -68.5],
      [41.41, -68.52],
      [41.42, -68.51],
    ]
    const { plan, assumed } = await goodPlanOf(
      feedOf([
        ...near.map((p, i) => hall(`n${i}`, {}, p)),
        ...near.map((_, i) => at(`n${i}`)),
        hall('none', {}, null),
        at('none'),
        hall('far', {}, [38.1, -78.5]),
        at('far'),
        hall('zero', {}, [0, 0]),
        at('zero'),
      ]),
    )
    expect(assumed('position missing')?.names).toEqual(['Precinct none', 'Precinct zero'])
    expect(assumed('position not believed')?.names).toEqual(['Precinct far'])
    expect(assumed('position not believed')?.what).toMatch(/38\.1, -78\.5: \d{3} km/)
    for (const p of plan.places) {
      expect(p.latitude).toBeCloseTo(41.41, 1)
      expect(p.longitude).toBeCloseTo(-68.51, 1)
    }
  })

  it('all without a position are at 0, 0, and that is said', async () => {
    const { plan, assumed } = await goodPlanOf(feedOf([hall('a', {}, null), at('a')]))
    expect([plan.places[0]!.latitude, plan.places[0]!.longitude]).toEqual([0, 0])
    expect(assumed('position missing')?.what).toContain('no position at all')
  })

  it('of long names are cut, and no name begins like a formula of a spreadsheet', async () => {
    const { plan } = await goodPlanOf(
      feedOf([hall('a', { Name: `=cmd|' /c calc'!A0 ${'x'.repeat(100)}` }), at('a', { Name: '@SUM(1;2)' })]),
    )
    expect(plan.places[0]!.name).toHaveLength(80)
    expect(plan.places[0]!.name).toMatch(/^cmd\|/)
    expect(plan.precincts[0]!.name).toBe('SUM(1;2)')
  })
})

describe('hours and zone of a feed', () => {
  const withHours = (spans: Array<[string, string]>, more: string[] = []) =>
    root([source(), election(), state(), locality(), hours('hours', spans), hall('a'), at('a'), ...more])

  it('are the county’s, with the zone of its state', async () => {
    const { plan, assumed } = await goodPlanOf(withHours([['06:30:00-05:00', '19:30:00-05:00']]))
    expect(plan.hours).toEqual({ report: '05:15', open: '06:30', close: '19:30', returnBy: '22:30' })
    expect(plan.timeZone).toBe('America/New_York')
    expect(assumed('offset')).toBeNull()
  })

  it('with an offset of another season or zone are taken as they are written, and listed', async () => {
    for (const offset of ['-04:00', '-08:00', '+05:30']) {
      const { plan, assumed } = await goodPlanOf(withHours([[`07:00:00${offset}`, `20:00:00${offset}`]]))
      expect([plan.hours.open, plan.hours.close]).toEqual(['07:00', '20:00'])
      expect(assumed('offset')?.what).toContain('(-05:00)')
    }
  })

  it('in UTC that make no sense as written are converted, and listed', async () => {
    const { plan, assumed } = await goodPlanOf(withHours([['11:30:00Z', '00:30:00Z']]))
    expect([plan.hours.open, plan.hours.close]).toEqual(['06:30', '19:30'])
    expect(assumed('offset converted')?.precincts).toBe(1)
  })

  it('that no polling place has are not believed', async () => {
    const { plan, assumed } = await goodPlanOf(withHours([['00:00:00-05:00', '24:00:00-05:00']]))
    expect([plan.hours.open, plan.hours.close]).toEqual(['07:00', '19:00'])
    expect(assumed('hours not given')?.precincts).toBe(1)
  })

  it('of most places are the plan’s; others are listed by name', async () => {
    const { plan, assumed } = await goodPlanOf(
      withHours(
        [['06:00:00-05:00', '20:00:00-05:00']],
        [
          hours('h2', [
            ['07:00:00-05:00', '12:00:00-05:00'],
            ['13:00:00-05:00', '18:00:00-05:00'],
          ]),
          hall('b', { HoursOpenId: 'h2' }),
          at('b'),
          hall('c'),
          at('c'),
        ],
      ),
    )
    expect(plan.hours.open).toBe('06:00')
    expect(assumed('other hours')?.names).toEqual(['Precinct b: 07:00 to 18:00'])
    expect(assumed('hours in parts')?.names).toEqual(['Precinct b'])
    expect(assumed('hours of the election')?.names).toEqual(['Precinct a', 'Precinct c'])
  })

  it('in a state of two zones: the offset decides where it fits one alone, --zone always', async () => {
    const florida = (offset: string) =>
      root([
        source('12'),
        election(),
        state('fl'),
        locality(),
        hours('hours', [[`07:00:00${offset}`, `19:00:00${offset}`]]),
        hall('a'),
        at('a'),
      ])
    expect((await goodPlanOf(florida('-06:00'))).plan.timeZone).toBe('America/Chicago')
    const west = await goodPlanOf(florida('-05:00'))
    expect(west.plan.timeZone).toBe('America/New_York')
    expect(west.assumed('time zone')?.what).toContain('several zones')
    const said = await goodPlanOf(florida('-05:00'), { zone: 'America/Chicago' })
    expect(said.plan.timeZone).toBe('America/Chicago')
    expect(said.assumed('time zone')).toBeNull()
    expect(said.assumed('offset')?.precincts).toBe(1)
  })

  it('of an unknown state go by their offset; without any the zone is asked for', async () => {
    const nowhere = (times: [string, string]) =>
      root([
        source('x'),
        election(),
        locality('loc', 'E', { StateId: 'no' }),
        hours('hours', [times]),
        hall('a'),
        at('a'),
      ])
    expect((await goodPlanOf(nowhere(['07:00:00-08:00', '20:00:00-08:00']))).plan.timeZone).toBe(
      'America/Los_Angeles',
    )
    expect(await refusal(nowhere(['07:00:00', '20:00:00']))).toMatch(
      /can't be worked out .* give it with --zone/,
    )
  })
})

describe('what is chosen of a feed', () => {
  const two = root([
    source(),
    election(),
    state(),
    usualHours(),
    locality('loc', 'Ellery County'),
    locality('other', 'Sorrel', { Type: 'city' }),
    locality('empty', 'Empty'),
    hall('a'),
    hall('b'),
    at('a'),
    at('b', { LocalityId: 'other' }),
    hall('orphan'),
  ])

  it('with several localities is asked for, with the list; it may be spelt as you like, or be the id', async () => {
    expect(await refusal(two)).toMatch(
      /2 localities: choose one with --locality NAME; Ellery County \(county, 1 precincts, id loc\); Sorrel \(city/,
    )
    for (const named of ['sorrel', ' SORREL ', 'other']) {
      const { plan, left } = await goodPlanOf(two, { locality: named })
      expect([plan.county, names(plan)]).toEqual(['Sorrel', ['Precinct b']])
      expect(left('localities')).toHaveLength(2)
      expect(left('election-day places that no precinct or locality names')).toEqual(['Hall l-orphan'])
    }
    expect(await refusal(two, { locality: 'Nowhere' })).toMatch(/no locality "Nowhere"; it has .*Sorrel/)
    expect(await refusal(two, { locality: 'Empty' })).toMatch(/Empty has nothing to run on election day/)
  })

  it('of two localities with one name is asked for by id', async () => {
    const twins = root([
      source(),
      election(),
      state(),
      locality('x', 'R'),
      locality('y', 'r', { Type: 'city' }),
    ])
    expect(await refusal(twins, { locality: 'R' })).toMatch(
      /several localities are called "R": choose by id; .*id x.*id y/,
    )
  })

  it('with several election dates is asked for; another date is for practice only', async () => {
    const dates = feedOf([election('2026-06-02', {}, 'e2'), hall('a'), at('a')])
    expect(await refusal(dates)).toMatch(/elections on 2026-06-02, 2026-11-03: choose one with --date/)
    expect((await goodPlanOf(dates, { date: '2026-06-02' })).plan.date).toBe('2026-06-02')
    expect(await refusal(dates, { date: '2026-06-03' })).toMatch(/no election on 2026-06-03; it has/)
    const one = feedOf([hall('a'), at('a')])
    const moved = await goodPlanOf(one, { date: '2026-10-20' })
    expect(moved.plan.date).toBe('2026-10-20')
    expect(moved.assumed('date')?.what).toContain('2026-11-03')
    expect(await refusal(one, { date: '2026-10-20', kind: 'election' })).toMatch(/only a practice day/)
    expect(await refusal(root([source(), state(), locality(), hall('a'), at('a')]))).toMatch(/gives no date/)
  })

  it('without a Source, of several feeds or without anything is refused', async () => {
    expect(await refusal(root([election(), locality()]))).toMatch(/no Source with a VipId/)
    expect(await refusal(root([source(), election()]))).toMatch(/has no Locality/)
    expect(await refusal(root([source(), election(), locality()]))).toMatch(/nothing to run on election day/)
    const other = source('10').replace('id="src"', 'id="src2"')
    expect(await refusal(feedOf([other]))).toMatch(/of several feeds \(VipId 09, 10\)/)
  })
})

describe('a made plan', () => {
  it('for an election has no made-up seals, rovers or contacts; for a practice day seals that no real one has', async () => {
    const real = await goodPlanOf(root(smallElements()), { kind: 'election' })
    expect([real.plan.seals, real.plan.rovers, real.plan.contacts]).toEqual([[], [], []])
    expect(real.plan.officePhone).toBe('not given')
    const practice = await goodPlanOf(root(smallElements()))
    expect(practice.plan.seals).toHaveLength(15)
    expect(practice.plan.seals.every(s => /^PRACTICE-\d{5}$/.test(s.number))).toBe(true)
    expect(practice.plan.name).toBe('General election, practice day')
  })

  it('lists every assumption with how many precincts it touches and where to change it', async () => {
    const { assumptions, plan } = await goodPlanOf(root(smallElements()))
    const about = assumptions.map(a => a.about)
    for (const one of [
      'time zone',
      'hours of the election',
      'reporting hour',
      'returns by',
      'kind',
      'registered, expected',
      'ballots',
      'stations, booths, workers',
      'equipment',
      'seals',
      'rovers',
      'contacts',
      'office telephone',
      'steps',
      'arrival profile',
      'policy',
    ])
      expect(about).toContain(one)
    expect(new Set(about).size).toBe(about.length)
    for (const { precincts, where, what } of assumptions) {
      expect(precincts).toBeGreaterThan(0)
      expect(precincts).toBeLessThanOrEqual(plan.precincts.length)
      expect(where).toMatch(/\.(csv|json)\b/)
      expect(what.length).toBeGreaterThan(10)
    }
  })

  it('takes the office telephone of the locality’s department, and lists it', async () => {
    const administration =
      '<ElectionAdministration id="ea"><Department><ContactInformation><Phone>(203) 555-0142</Phone></ContactInformation></Department></ElectionAdministration>'
    const { plan, assumed } = await goodPlanOf(
      root([
        source(),
        election(),
        state(),
        usualHours(),
        locality('loc', 'E', { ElectionAdministrationId: 'ea' }),
        administration,
        hall('a'),
        at('a'),
      ]),
    )
    expect(plan.officePhone).toBe('(203) 555-0142')
    expect(assumed('office telephone')?.what).toContain('555-0142')
  })

  it('is the same whatever the order of elements and whatever their ids', async () => {
    const elements = [
      ...smallElements(),
      location('l333'),
      precinct('p9', { Name: 'Far', PollingLocationIds: 'l1 l333' }),
    ]
    const base = await goodPlanOf(root(elements))
    const renamed = elements.map(e =>
      e
        .replace(/\b(p1a|p1b|p2|p3|p9|l1|l22|l333)(?=["\s<])/g, id => `${[...id].reverse().join('')}x`)
        .replaceAll('>Hall 1lx<', '>Hall l1<'),
    )
    await fc.assert(
      fc.asyncProperty(fc.shuffledSubarray(elements, { minLength: elements.length }), async shuffled => {
        expect((await goodPlanOf(root(shuffled))).plan).toEqual(base.plan)
      }),
      { seed: 7, numRuns: 40 },
    )
    const codes = (await goodPlanOf(root(renamed))).plan.precincts.map(p => p.code)
    expect(codes.slice(0, 3)).toEqual(base.plan.precincts.slice(0, 3).map(p => p.code))
  })

  it('has codes that stay when other precincts come and go', async () => {
    const codeOf = async (...more: string[]) =>
      (await goodPlanOf(feedOf([hall('a'), at('a'), ...more]))).plan.precincts.find(
        p => p.name === 'Precinct a',
      )!.code
    expect(await codeOf(hall('b'), at('b'))).toBe(await codeOf())
    expect(await codeOf()).toMatch(/^precinct-a-[a-z0-9]{7}$/)
  })

  it('has codes that a plan takes, one for each key, whatever things are called', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.string({ unit: 'binary', maxLength: 90 }), {
          selector: name => keyOf(name),
          maxLength: 60,
        }),
        things => {
          const codes = codesOf(things.map(name => ({ key: keyOf(name), name })))
          expect(new Set(codes.values()).size).toBe(things.length)
          for (const made of codes.values()) {
            expect(code.safeParse(made).success, made).toBe(true)
            expect(`P60-${made}`.length).toBeLessThanOrEqual(40)
          }
        },
      ),
      { seed: 3, numRuns: 200 },
    )
  })

  it('is good for any feed that can be read, whatever stands in its texts', async () => {
    const text = fc.oneof(fc.string({ maxLength: 12 }), fc.constantFrom('', ' ', 'A', '1', '=1', 'é', '-'))
    const clean = text.map(t => t.replace(/[^\x20-\x7eé]/g, '').replace(/\]\]>/g, ''))
    const some = fc.record({ Name: clean, Number: clean, Ward: clean, IsMailOnly: fc.boolean() })
    const where = fc.constantFrom('', 'l-a', 'l-b', 'l-a l-b', 'l-c', 'nowhere')
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(some, where), { maxLength: 8 }),
        fc.array(clean, { minLength: 3, maxLength: 3 }),
        where,
        fc.constantFrom('election', 'practice'),
        async (precincts, called, ofLocality, kind) => {
          const made = await planOf(
            root([
              source(),
              election(),
              state(),
              locality('loc', called[0], { PollingLocationIds: ofLocality }),
              usualHours(),
              hall('a', { Name: called[1]! }),
              hall('b', { Name: called[2]! }, null),
              location('l-c', { IsDropBox: true }),
              ...precincts.map(([p, ids], i) => precinct(`p${i}`, { ...p, PollingLocationIds: ids })),
            ]),
            { kind },
          )
          if ('refusal' in made) expect(made.refusal.length).toBeGreaterThan(10)
          else expect(made.plan.precincts.length).toBeGreaterThan(0)
        },
      ),
      { seed: 11, numRuns: 300 },
    )
  })

  it('can be played: the simulator makes a day of it, at every precinct from team to return', async () => {
    const { plan } = await goodPlanOf(root(smallElements()))
    const index = indexOf(plan, plan.date)
    const day = practiceDay(plan, 7)
    expect(day.precincts.size).toBe(3)
    for (const [precinctCode, { facts }] of day.precincts) {
      const kinds = new Set(facts.map(f => f.kind))
      for (const kind of [
        'TeamReported',
        'OpeningTapeVerified',
        'SealRecorded',
        'PollsOpened',
        'PollsClosed',
        'ReturnDeparted',
      ])
        expect([precinctCode, [...kinds]], kind).toEqual([precinctCode, expect.arrayContaining([kind])])
      const opened = facts.find(f => f.kind === 'PollsOpened')!
      expect(opened.at).toBeGreaterThanOrEqual(index.brief.opensAt)
    }
  })

  it('of 5,000 precincts is made, whole and good', async () => {
    const { plan } = await goodPlanOf(wideFeed(5_000))
    expect(plan.precincts).toHaveLength(5_000)
    expect(new Set(plan.precincts.map(p => p.place)).size).toBe(5_000)
  })
})
