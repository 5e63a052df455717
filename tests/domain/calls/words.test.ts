import { describe, expect, it } from 'vitest'
import { lineWords, reasonWords, ruleTitle, standingWords } from '../../../server/domain/calls/words.ts'
import type { Reason } from '../../../server/domain/day/state.ts'
import { ruleName } from '../../../server/domain/log/kindsOfSystem.ts'
import type { RuleName } from '../../../server/domain/plan/policy.ts'
import { aPlan } from '../../support/aPlan.ts'
import { at, given, type Said, says, system } from '../../support/given.ts'
import { ballots, foretold, line, ready } from './foretold.ts'
import { judging } from './judging.ts'

const { brief } = given().index
const reason = (rule: RuleName, evidence: Reason['evidence'], precinct: string | null = 'E-01'): Reason => ({
  key: `${rule}:${precinct}`,
  rule,
  tier: 'now',
  precinct,
  since: at('09:12'),
  raisedAt: at('09:13'),
  figuresAt: at('09:13'),
  voterMinutes: 0,
  evidence,
})

/** A day on which every rule of a precinct speaks once, so the words are made from real evidence. */
function everyReason(): Reason[] {
  const found = new Map<RuleName, Reason>()
  const look = (times: string[], ...said: Said[]) => {
    for (const time of times) {
      const day = given(...said.filter(s => s.recordedAt <= at(time)))
      judging(day).at(time)
      for (const p of day.state.precincts.values())
        for (const r of Object.values(p.reasons)) found.set(r.rule, r)
      for (const r of Object.values(day.state.reasons)) found.set(r.rule, r)
    }
  }
  const e = 'E-01'
  // Before a tape stands rejected: then nobody can tell when it will be ready.
  look(['05:55'], says(e, '05:35', 'TeamReported', { present: 8, missing: [] }, { via: 'caller' }))
  look(
    ['05:55', '06:31', '07:08', '07:12', '22:30'],
    says(e, '05:35', 'TeamReported', {
      present: 5,
      missing: [
        { role: 'clerk', howMany: 1 },
        { role: 'greeter', howMany: 2 },
      ],
    }),
    says(e, '05:50', 'OpeningTapeRejected', { tabulator: 'T-01', problems: ['not-zero', 'signatures'] }),
    says(e, '05:51', 'SealRecorded', { container: 'box', found: 'S-99', state: 'intact' }),
    says(e, '05:54', 'HelpRequested', { about: 'workers' }),
    says(e, '05:54', 'PlaceMoved', { cause: 'power', to: 'the gym' }),
    system(e, '05:54', 'ReportsKeptAside', { device: 'd-old', howMany: 3 }),
    says(e, '06:40', 'PollsOpened', { withSlot: true }),
    says(e, '07:00', 'EmergencySlotOpened', {}),
    says(e, '07:05', 'EquipmentWentDown', { equipment: 'A-01' }),
    says(e, '07:05', 'EquipmentWentDown', { equipment: 'T-01' }),
    says(e, '07:05', 'LineReported', { inLine: 90 }),
    says(e, '07:05', 'CountsReported', { ballotsLeft: 300, inSlot: 12 }),
    says(e, '07:11', 'HeartbeatReceived', { device: { waiting: 0 } }),
  )
  const m = 'E-02'
  look(
    ['08:00', '08:20', '09:10', '21:00', '23:00'],
    says(m, '06:29', 'PollsOpened', {}),
    says(m, '07:00', 'EmergencySlotOpened', {}),
    says(m, '08:00', 'HeartbeatReceived', { device: { waiting: 0 } }),
    says(m, '09:09', 'HeartbeatReceived', { device: { waiting: 0 } }),
    says(m, '21:00', 'ReturnDeparted', { carriers: 2, items: [], seals: ['R-9'] }),
  )
  look(['07:05'], ...['E-01', 'E-02', 'E-03'].map(code => says(code, '07:00', 'PollsOpened', {})))
  look(
    ['21:30'],
    says('E-03', '20:40', 'ReturnDeparted', { carriers: 2, items: ['roster', 'tapes'], seals: ['R-1'] }),
    says('E-03', '21:20', 'ReturnReceived', { items: ['roster', 'keys'], seals: ['R-2'] }),
  )
  // Told on the telephone: nobody is silent, and each minute has its forecasts.
  const foresee = (times: string[], said: Parameters<typeof foretold>[1], ...entries: Said[]) => {
    const day = given(...entries)
    const judged = judging(day)
    for (const time of times) judged.at(time, ['E-01'], foretold(time, said))
    for (const r of Object.values(day.p('E-01').reasons)) found.set(r.rule, r)
  }
  const CALLER = { via: 'caller' } as const
  foresee(
    ['09:10', '09:12', '09:14', '09:15'],
    {
      'E-01': {
        ...line(0.6),
        ...ballots(0.7, { style: { style: 'B', name: 'Ballot B', chance: 0.8 } }),
        faults: [{ what: 'back', at: at('09:00'), is: 120, before: 200 }],
      },
    },
    says(e, '06:28', 'PollsOpened', {}, CALLER),
    says(e, '09:00', 'CountsReported', { checkedIn: 200, publicCount: { 'T-01': 100 } }, CALLER),
  )
  foresee(
    ['20:20'],
    {},
    says(e, '19:35', 'PollsClosed', {}, CALLER),
    says(
      e,
      '20:10',
      'CountsReconciled',
      {
        delivered: 1_200,
        left: 400,
        tabulated: 780,
        inSlot: 0,
        spoiled: 10,
        provisional: 5,
        challenged: 0,
        checkedIn: 786,
      },
      CALLER,
    ),
  )
  found.set('silent-together', together)
  return [...found.values()]
}

const together = reason(
  'silent-together',
  {
    group: 'area',
    name: 'Coast',
    precincts: ['E-01', 'E-03'],
    silent: 2,
    of: 2,
    otherSilent: 0,
    others: 1,
    groups: 2,
    chance: 0.0000021,
    firstAt: at('09:00'),
    lastAt: at('09:03'),
    riskPeople: 120,
    riskFromAt: at('09:03'),
    riskUntilAt: at('10:03'),
    riskEach: 1,
  },
  null,
)

describe('words', () => {
  const all = everyReason()

  it('the day above raises every rule there is', () => {
    expect(all.map(r => r.rule).sort()).toEqual([...ruleName.options].sort())
  })

  it.each(all.map(r => [r.rule, r] as const))(
    '%s: a headline of at most three words, a fact, what to ask, what ends it',
    (rule, r) => {
      const words = reasonWords(r, brief, at('23:00'))
      expect(words.headline.split(' ').length).toBeLessThanOrEqual(3)
      expect(words.fact).toMatch(/[.]$/)
      expect(words.ask).toMatch(/[?.]$/)
      expect(words.ends).toMatch(/^It ends .*[.]$/)
      if (r.voterMinutes > 0) expect(words.risk).toMatch(/voter-minutes?[.]$/)
      for (const text of Object.values(words)) {
        expect(text).not.toMatch(/undefined|null|NaN|\[object|1793\d{9}/)
        // A dash stands for a time that is missing; between two times it is "to".
        expect(text.replace(/\d\d:\d\d–\d\d:\d\d/g, '')).not.toContain('–')
        expect(text).not.toMatch(/ {2}/)
      }
      expect(ruleTitle[rule].length).toBeGreaterThan(0)
    },
  )

  it('say times of the county’s clock, and how long ago where now is told', () => {
    const down = reason('tabulator-down', {
      tabulator: 'T-01',
      slotOpen: true,
      another: false,
      downAt: at('09:12'),
    })
    expect(reasonWords(down, brief).fact).toBe('T-01 has been down since 09:12. The emergency slot is open.')
    expect(reasonWords(down, brief, at('09:30')).fact).toContain('since 09:12, 18 minutes ago.')
  })

  it('call equipment by its label and tag, and steps by their titles', () => {
    const left = reason('tabulator-down', { tabulator: 'T-02', downAt: at('09:12') }, 'E-02')
    expect(reasonWords(left, brief).fact).toContain('left (T-02)')
    const behind = all.find(r => r.rule === 'behind-on-opening')!
    const title = aPlan().steps.find(s => s.code === behind.evidence.step)!.title
    expect(reasonWords(behind, brief).fact).toContain(title)
  })

  it('never make a doubtful tabulator a reason to keep polls shut', () => {
    for (const rule of ['tape-rejected', 'not-open', 'tabulator-down'] as const) {
      const { ask } = reasonWords(all.find(r => r.rule === rule)!, brief)
      expect(ask).toMatch(/emergency slot in use, as your county’s procedure says/)
    }
  })

  it('tell a suspension from polls that never opened', () => {
    expect(
      reasonWords(reason('not-open', { opensAt: at('06:30'), suspendedAt: at('10:12') }), brief),
    ).toMatchObject({
      headline: 'Voting suspended',
      fact: expect.stringContaining('10:12'),
    })
  })

  it('of a line let the gravest speak first and say each question once', () => {
    const line = lineWords(
      {
        precincts: ['E-01'],
        reasons: [
          reason('silent', { heardAt: at('09:00') }),
          reason('not-open', { opensAt: at('06:30') }),
          reason('silent', { heardAt: at('09:00') }),
        ],
      },
      brief,
    )
    expect(line.headline).toBe('Silent')
    expect(line.fact).toMatch(/^Nothing has been heard.*Polls not open: The polls/)
    expect(line.ask.match(/Is everything running/g)).toHaveLength(1)
  })

  it('of a cause that many share name the precincts', () => {
    const codes = ['E-01', 'E-02', 'E-03']
    const line = lineWords(
      { precincts: codes, reasons: codes.map(c => reason('silent', { heardAt: at('09:00') }, c)) },
      brief,
    )
    expect(line.fact).toMatch(/^Harbor, Mill and Gull Island: silent\./)
  })

  const said = (rule: RuleName) => reasonWords(all.find(r => r.rule === rule)!, brief)

  it('of an opening that is forecast to be late give the chance, the hours and until when help is of use', () => {
    const day = given(says('E-01', '05:35', 'TeamReported', { present: 8, missing: [] }, { via: 'caller' }))
    const judged = judging(day)
    for (const time of ['05:45', '05:47']) judged.at(time, ['E-01'], foretold(time, { 'E-01': ready(0.62) }))
    const late = day.p('E-01').reasons['behind-on-opening:E-01']!
    expect(reasonWords(late, brief)).toMatchObject({
      fact: 'Ready at about 06:41, 11 minutes after opening time, between 06:25 and 06:58 on 80 of 100 such mornings. By 06:30: 38 in 100. 2 of 7 steps done; “Tabulator started” holds it up. It must be done by 06:18 for the rest to fit before opening time on 80 of 100 such mornings.',
      ends: 'It ends when the chance of being late falls under the policy’s lower bound, or when the polls are open.',
      risk: '18 people expected 06:30–06:58, on average 6.7 minutes: 120 voter-minutes.',
    })
    const fact = (evidence: Reason['evidence']) =>
      reasonWords({ ...late, evidence: { ...late.evidence, ...evidence } }, brief).fact
    expect(fact({ helpByAt: at('05:40') })).toMatch(/It had to be done by 05:40 for the rest to fit/)
    // Minutes between two times are those between the times that are shown.
    expect(fact({ readyAt: at('06:36:40') })).toMatch(/at about 06:36, 6 minutes after opening time,/)
    expect(fact({ readyAt: at('06:36:40'), opensAt: at('06:29:40') })).toMatch(/06:36, 7 minutes after/)
    expect(fact({ readyAt: at('06:30:50') })).toMatch(/at about 06:30, at opening time,/)
    expect(fact({ readyAt: at('06:29:59') })).toMatch(/at about 06:29, before opening time,/)
    // Nothing that is forecast is certain.
    expect(fact({ chancePercent: 100 })).toMatch(/By 06:30: under 1 in 100[.]/)
    expect(fact({ chancePercent: 0 })).toMatch(/By 06:30: over 99 in 100[.]/)
  })

  it('of a line that grows give the hour, the chance and the slowest stage', () => {
    expect(said('line-growing').fact).toBe(
      'Whoever comes at about 10:15 waits over 30 minutes: 60 in 100. 22 were in line at 08:50; who joins now waits about 9 minutes. Check-in is the slowest, at 1.6 minutes a voter: over two hours it is asked for 112% of what it can take.',
    )
    const unsaid = all.find(r => r.rule === 'line-growing')!
    const { said: _, ...evidence } = unsaid.evidence
    expect(reasonWords({ ...unsaid, evidence: { ...evidence, bottleneck: 'booths' } }, brief).fact).toMatch(
      /About 18 are in line by the forecast; .* The booths are the slowest: over two hours/,
    )
    const blocked = { ...unsaid.evidence, bottleneck: 'tabulator', loadPercent: 9_900 }
    expect(reasonWords({ ...unsaid, evidence: blocked }, brief).fact).toMatch(
      /The tabulator is the slowest: it takes nobody now[.]$/,
    )
  })

  it('of a long line say what a station takes for a voter, where a forecast has seen it', () => {
    const evidence = { inLine: 60, countedAt: at('09:00'), stations: 2, waitMinutes: 45 }
    const fact = (more: Reason['evidence']) =>
      reasonWords(reason('long-line', { ...evidence, ...more }), brief).fact
    expect(fact({})).toMatch(/With 2 check-in stations the last of them waits about 45 minutes[.]$/)
    expect(fact({ serviceMinutes: 1.5 })).toMatch(/stations, at 1.5 minutes a voter, the last of them/)
  })

  it('of ballots that run out give what is left and wanted, each style, and the way there', () => {
    expect(said('ballots-low').fact).toBe(
      'About 312 ballots left by the count of 08:50; until closing about 341 are wanted, at most 395 on 90 of 100 such days. Running out before closing: 70 in 100. Of the style “Ballot B”: 80 in 100. The last is used at about 18:22. More must be there by 17:05; whoever brings them leaves by 16:40.',
    )
  })

  it('of counts give both sides, and what is left unexplained', () => {
    expect(said('count-doubtful').fact).toBe(
      'At 09:00 the voters checked in were given as 120, fewer than 200 before. No forecast uses that count.',
    )
    expect(said('counts-apart').fact).toMatch(
      /^200 voters checked in, but 100 tabulated, by counts of 09:00[.] Voters who are still voting and counts of different minutes explain a difference of \d+; that leaves \d+ voters missing[.]$/,
    )
    expect(said('not-reconciled').fact).toBe(
      'By the closing counts of 20:10: 5 ballots used and not accounted for and 1 voter checked in without a ballot cast. No explanation was written with them.',
    )
    const over = reason('not-reconciled', { ballots: -2, voters: 0, tolerance: 0, countedAt: at('20:10') })
    expect(reasonWords(over, brief).fact).toMatch(/20:10: 2 ballots accounted for and not used[.]/)
  })

  it('of silence say how unlikely it is, where a rhythm is known', () => {
    const quiet = (oneIn: number) =>
      reasonWords(reason('silent', { heardAt: at('09:00'), usualGapSeconds: 31, oneIn }), brief).fact
    expect(quiet(640)).toMatch(
      /In the log it is usually heard every 31 seconds; by its own rhythm a quiet as long as when it was called silent: about 1 in 600[.]$/,
    )
    expect(quiet(3)).toMatch(/called silent: 33 in 100[.]$/)
    for (const oneIn of [1_000, 12_400, 1_000_000])
      expect(quiet(oneIn)).toMatch(/called silent: under 1 in 1,000[.]$/)
  })

  it('of precincts silent together name and count them, and say how rare that is by chance', () => {
    expect(reasonWords(together, brief).fact).toBe(
      '2 of the 2 precincts of the area “Coast” have been silent since 09:00, the last since 09:03: Harbor and Gull Island. In the same time 0 of 1 elsewhere have fallen silent. So many together by chance: about 1 in 200,000. One cause is likely.',
    )
    const rare = { ...together, evidence: { ...together.evidence, chance: 1e-9, lastAt: at('09:00') } }
    expect(reasonWords(rare, brief).fact).toMatch(
      /silent since 09:00: Harbor .* by chance: under 1 in 1,000,000[.]/,
    )
    const tablets = { ...together, evidence: { ...together.evidence, group: 'tablet', name: 'small' } }
    expect(reasonWords(tablets, brief).fact).toMatch(
      /^2 of the 2 precincts with a tablet “small” have been silent/,
    )
    const line = lineWords(
      {
        precincts: ['E-01', 'E-03'],
        reasons: [
          { ...together, voterMinutes: 120 },
          reason('silent', { heardAt: at('08:55') }),
          reason('silent', { heardAt: at('08:55') }, 'E-03'),
          reason('slot-in-use', { slotAt: at('08:00'), tabulators: ['T-03'] }, 'E-03'),
        ],
      },
      brief,
    )
    expect(line.headline).toBe('Silent together')
    expect(line.fact).toMatch(/^2 of the 2 precincts of the area/)
    expect(line.fact).not.toMatch(/Nothing has been heard/)
    expect(line.fact).toMatch(/Slot in use: /)
    expect(line.risk).toBe('Summed over these 2 precincts, of each its largest.')
  })

  it('of a line give the arithmetic of its largest sum', () => {
    const sum = { riskPeople: 41, riskFromAt: at('06:30'), riskUntilAt: at('06:52'), riskEach: 11 }
    const line = lineWords(
      {
        precincts: ['E-01'],
        reasons: [
          reason('seal-different', {
            container: 'box',
            found: 'X',
            state: 'intact',
            planned: 'Y',
            recordedAt: at('06:00'),
          }),
          { ...reason('not-open', { opensAt: at('06:30'), ...sum }), voterMinutes: 451 },
        ],
      },
      brief,
    )
    expect(line.risk).toBe('41 people expected 06:30–06:52, on average 11 minutes: 451 voter-minutes.')
  })

  it('of our own link speak of the county', () => {
    const own = reason('own-link', { missing: 60, of: 64 }, null)
    expect(lineWords({ precincts: ['E-01', 'E-02'], reasons: [own] }, brief).fact).toMatch(
      /^60 of 64 devices/,
    )
  })

  it('call a standing by its own name in words', () => {
    for (const [standing, words] of Object.entries(standingWords))
      expect(words).toBe(standing.replace('-', ' '))
  })
})
