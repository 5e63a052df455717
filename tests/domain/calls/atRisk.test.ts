import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  arrivalsHere,
  type Coming,
  comingSoon,
  heldBack,
  recordedMinutes,
  riskEvidence,
  slowedCheckIn,
  standingInLine,
} from '../../../server/domain/calls/atRisk.ts'
import { reasonWords } from '../../../server/domain/calls/words.ts'
import type { Reason } from '../../../server/domain/day/state.ts'
import { HOUR, MINUTE } from '../../../server/domain/time.ts'
import { arrivals } from '../../../server/domain/turnout/expected.ts'
import { at, given, says } from '../../support/given.ts'
import { foretold, turnout } from './foretold.ts'
import { judging } from './judging.ts'

const { index } = given()
const here = index.precincts.get('E-01')!
const byPlan = (now: number): Coming => ({ index, now, at: here, forecast: null, forecastAt: 0 })
/** From 09:05 on 20 in what is left of the quarter hour, then 40, 60 and 0. */
const byForecast = (now: number): Coming => ({
  ...byPlan(now),
  forecast: foretold('09:05', { 'E-01': turnout(null, [20, 40, 60, 0]) }).precincts.get('E-01')!,
  forecastAt: at('09:05'),
})

describe('who comes', () => {
  it('by the plan where there is no forecast', () => {
    expect(arrivalsHere(byPlan(at('09:00')), at('09:00'), at('10:00'))).toBeCloseTo((1_000 * 0.2) / 3, 9)
  })

  it('by the forecast’s quarter hours, parts of them evenly', () => {
    const ctx = byForecast(at('09:05'))
    expect(arrivalsHere(ctx, at('09:05'), at('09:15'))).toBeCloseTo(20, 9)
    expect(arrivalsHere(ctx, at('09:10'), at('09:15'))).toBeCloseTo(10, 9)
    expect(arrivalsHere(ctx, at('09:10'), at('09:20'))).toBeCloseTo(10 + 40 / 3, 9)
    expect(arrivalsHere(ctx, at('09:15'), at('09:45'))).toBeCloseTo(100, 9)
    expect(arrivalsHere(ctx, at('09:45'), at('12:00'))).toBe(0)
  })

  it('before the forecast by the plan', () => {
    const ctx = byForecast(at('09:06'))
    const before = arrivals(index.brief, 1_000, at('08:30'), at('09:05'))
    expect(arrivalsHere(ctx, at('08:30'), at('09:15'))).toBeCloseTo(before + 20, 9)
  })
})

describe('voter-minutes at risk', () => {
  it('say of whom and when they are: the product is the sum', () => {
    // 20 and 40 come in 25 minutes, and wait half of them on average.
    const risk = heldBack(byForecast(at('09:05')), at('09:05'), at('09:30'))!
    expect(risk).toEqual({ voterMinutes: 60 * 12.5, people: 60, from: at('09:05'), until: at('09:30') })
    expect(riskEvidence(risk)).toEqual({
      riskPeople: 60,
      riskFromAt: at('09:05'),
      riskUntilAt: at('09:30'),
      riskEach: 12.5,
    })
  })

  it('of nobody have no arithmetic', () => {
    expect(heldBack(byPlan(at('19:31')), at('19:31'))).toBeNull()
    expect(riskEvidence(null)).toEqual({})
    expect(riskEvidence({ voterMinutes: 0.4, people: 1, from: 0, until: 1 })).toEqual({})
  })

  it('are finite, whole and never negative, and so is what they are made of, whatever is said', () => {
    const any = fc.double({ min: 0, max: 1e9, noNaN: true })
    fc.assert(
      fc.property(
        fc.integer({ min: at('00:00'), max: at('23:00') }),
        fc.integer({ min: -12, max: 12 }),
        fc.array(any, { maxLength: 60 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.nat(1_000_000),
        fc.nat(60),
        (now, hours, coming, share, inLine, stations) => {
          for (const ctx of [
            byPlan(now),
            {
              ...byForecast(now),
              forecast: foretold(now, { 'E-01': turnout(null, coming) }).precincts.get('E-01')!,
              forecastAt: now,
            },
          ])
            for (const risk of [
              comingSoon(ctx, 1),
              heldBack(ctx, now + hours * HOUR),
              heldBack(ctx, now, now + hours * HOUR, share),
              slowedCheckIn(ctx, share),
              standingInLine(ctx, inLine, stations / 1.5, 1_000),
            ]) {
              const minutes = recordedMinutes(risk)
              expect(Number.isSafeInteger(minutes) && minutes >= 0).toBe(true)
              for (const figure of Object.values(riskEvidence(risk))) {
                expect(Number.isFinite(figure)).toBe(true)
                expect(figure).toBeGreaterThanOrEqual(0)
              }
            }
        },
      ),
      { seed: 11, numRuns: 200 },
    )
  })
})

describe('the arithmetic in words', () => {
  const reason = (rule: Reason['rule'], voterMinutes: number, more: Reason['evidence'] = {}): Reason => ({
    key: `${rule}:E-01`,
    rule,
    tier: 'now',
    precinct: 'E-01',
    since: at('06:30'),
    raisedAt: at('06:30'),
    figuresAt: at('06:30'),
    voterMinutes,
    evidence: { riskPeople: 41, riskFromAt: at('06:30'), riskUntilAt: at('06:52'), riskEach: 11, ...more },
  })
  const risk = (...args: Parameters<typeof reason>) => reasonWords(reason(...args), index.brief).risk

  it('shows people, the stretch, minutes each and the sum', () => {
    expect(risk('not-open', 451)).toBe(
      '41 people expected 06:30–06:52, on average 11 minutes: 451 voter-minutes.',
    )
    expect(risk('not-open', 1, { riskPeople: 1, riskEach: 1 })).toBe(
      '1 person expected 06:30–06:52, on average 1 minute: 1 voter-minute.',
    )
  })

  it('says that what is assumed is assumed', () => {
    expect(risk('silent', 1_200, { riskPeople: 1_200, riskEach: 1 })).toBe(
      '1,200 people expected 06:30–06:52, an assumed 1 minute each: 1,200 voter-minutes.',
    )
    expect(risk('tabulator-down', 21, { slotOpen: true, riskEach: 0.5 })).toMatch(
      /an assumed 0.5 minutes each/,
    )
    expect(risk('tabulator-down', 451, { slotOpen: false, another: false })).toMatch(/on average 11 minutes/)
    expect(risk('accessible-down', 451)).toMatch(/06:52 \(an assumed 1 in 50\), on average/)
  })

  it('says of ballots that the chance of running out is in the minutes, where a forecast has it', () => {
    expect(risk('ballots-low', 451, { forecastAt: at('06:00') })).toBe(
      '41 people expected 06:30–06:52, on average 11 minutes, the chance of running out counted in: 451 voter-minutes.',
    )
    expect(risk('ballots-low', 451)).toMatch(/on average 11 minutes: 451/)
  })

  it('says of a line that some stand in it already', () => {
    expect(risk('long-line', 451)).toMatch(/^41 people in line or expected 06:30–06:52/)
  })

  it('is nothing where nobody waits', () => {
    expect(reasonWords({ ...reason('seal-different', 0), evidence: {} }, index.brief).risk).toBe('')
  })
})

describe('what is written of them', () => {
  it('stands in the evidence of a reason, and is not written anew because the clock went on', () => {
    const day = given(
      says('E-01', '06:28', 'PollsOpened', {}, { via: 'caller' }),
      says('E-01', '06:29', 'EquipmentWentDown', { equipment: 'T-01' }, { via: 'caller' }),
      says('E-01', '06:29', 'EmergencySlotOpened', {}, { via: 'caller' }),
    )
    const judged = judging(day)
    judged.at('06:30', ['E-01'])
    const key = 'tabulator-down:E-01:T-01'
    expect(day.p('E-01').reasons[key]!.evidence).toMatchObject({
      riskPeople: 100,
      riskFromAt: at('06:30'),
      riskUntilAt: at('07:30'),
      riskEach: 0.5,
    })
    const written: number[] = []
    for (let now = at('06:31'); now <= at('08:35'); now += MINUTE)
      for (const d of judged.at(now, ['E-01']))
        if (d.kind === 'ReasonRaised' && d.body.key === key) written.push(now)
    // Only when the hour that they speak of is over.
    expect(written).toEqual([at('07:30'), at('08:30')])
  })
})
