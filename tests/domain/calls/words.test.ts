import { describe, expect, it } from 'vitest'
import { lineWords, reasonWords, ruleTitle, standingWords } from '../../../server/domain/calls/words.ts'
import type { Reason } from '../../../server/domain/day/state.ts'
import { ruleName } from '../../../server/domain/log/kindsOfSystem.ts'
import type { RuleName } from '../../../server/domain/plan/policy.ts'
import { aPlan } from '../../support/aPlan.ts'
import { at, given, type Said, says } from '../../support/given.ts'
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
  return [...found.values()]
}

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
      for (const text of Object.values(words)) {
        expect(text).not.toMatch(/undefined|null|NaN|\[object|–|1793\d{9}/)
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
