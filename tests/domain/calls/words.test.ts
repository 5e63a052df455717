import { describe, expect, it } from 'vitest'
import { lineWords, reasonWords, ruleTitle, standingWords } from '../../../server/domain/calls/words.ts'
import type { Reason } from '../../../server/domain/day/state.ts'
import { ruleName } from '../../../server/domain/log/kindsOfSystem.ts'
import type { RuleName } from '../../../server/domain/plan/policy.ts'
import { aPlan } from '../../support/aPlan.ts'
import { at, given, type Said, says } from '../../support/given.ts'
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
      fact: 'Not ready by 06:30 with a chance of 62%: most likely at 06:41, 11 minutes after opening time, in four cases of five from 06:25 to 06:58. 2 of 7 steps done; “Tabulator started” holds it up. It must be done by 06:18 for the rest to fit before opening time.',
      ends: 'It ends when the chance of being late falls under the policy’s lower bound, or when the polls are open.',
      risk: '47 people expected 06:30–06:58, on average 2.6 minutes: 120 voter-minutes.',
    })
    const tooLate = { ...late, evidence: { ...late.evidence, helpByAt: at('05:40') } }
    expect(reasonWords(tooLate, brief).fact).toMatch(/Help with it comes too late for opening on time[.]$/)
  })

  it('of a line that grows give the hour, the chance and the slowest stage', () => {
    expect(said('line-growing').fact).toBe(
      'Whoever comes about 10:15 waits longer than 30 minutes with a chance of 60%. 22 were in line at 08:50; who joins now waits about 9 minutes. Check-in is the slowest, at 1.6 minutes a voter: over two hours it is asked for 112% of what it can take.',
    )
    const unsaid = all.find(r => r.rule === 'line-growing')!
    const { said: _, ...evidence } = unsaid.evidence
    expect(reasonWords({ ...unsaid, evidence: { ...evidence, bottleneck: 'booths' } }, brief).fact).toMatch(
      /About 18 are in line by the forecast; .* The booths are the slowest: over two hours/,
    )
  })

  it('of ballots that run out give what is left and wanted, each style, and the way there', () => {
    expect(said('ballots-low').fact).toBe(
      'About 312 ballots left by the count of 08:50. Until closing about 341 are wanted, in one case of ten more than 395: they run out with a chance of 70%. Ballots of “Ballot B” do with a chance of 80%. At this pace the last goes at 18:22. More must be there by 17:05; whoever brings them leaves by 16:40.',
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
    expect(quiet(12_400)).toMatch(
      /In the log it is usually heard every 31 seconds; when it was called silent, so long a quiet was about 1 in 12,400 by chance[.]$/,
    )
    expect(quiet(1_000_000)).toMatch(/rarer than 1 in a million by chance[.]$/)
  })

  it('of precincts silent together name them, the test and the chance', () => {
    expect(reasonWords(together, brief).fact).toBe(
      '2 of the 2 precincts of the area “Coast” fell silent between 09:00 and 09:03, and 0 of 1 elsewhere: Harbor and Gull Island. Among 2 areas and kinds of tablet that is about 1 in 238,095 by chance (Fisher’s exact test; called below 1 in 100). One cause is likely.',
    )
    const tablets = { ...together, evidence: { ...together.evidence, group: 'tablet', name: 'small' } }
    expect(reasonWords(tablets, brief).fact).toMatch(
      /^2 of the 2 precincts with a tablet “small” fell silent/,
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
