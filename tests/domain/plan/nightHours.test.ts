import { describe, expect, it } from 'vitest'
import { briefOf, QUARTER } from '../../../server/domain/plan/brief.ts'
import { dateOf, hhmmOf, instantOf, midnightOf } from '../../../server/domain/plan/zone.ts'
import { aPlan, type PlanInput } from '../../support/aPlan.ts'
import { goodTexts, read } from './brokenSupport.ts'

const utc = (at: number) => new Date(at).toISOString().slice(0, 16)
const brief = (date: string, timeZone: string, hours: PlanInput['hours'], profile?: PlanInput['profile']) =>
  briefOf('x', aPlan({ date, timeZone, hours, ...(profile ? { profile } : {}) }))
const USUAL = { report: '05:30', open: '06:30', close: '19:30', returnBy: '22:00' }
const LATE = { report: '05:30', open: '06:30', close: '20:00', returnBy: '01:00' }
const NIGHT = { report: '15:00', open: '16:00', close: '01:00', returnBy: '03:30' }

describe('hours past midnight', () => {
  it.each([
    // Eastern Standard Time is UTC − 5, Guam UTC + 10, Honolulu UTC − 10, Kolkata UTC + 5:30 (IANA time zone database).
    ['America/New_York', LATE, '2026-11-04T01:00', '2026-11-04T06:00'],
    ['Pacific/Honolulu', LATE, '2026-11-04T06:00', '2026-11-04T11:00'],
    ['Pacific/Guam', LATE, '2026-11-03T10:00', '2026-11-03T15:00'],
    ['Asia/Kolkata', LATE, '2026-11-03T14:30', '2026-11-03T19:30'],
    ['America/New_York', NIGHT, '2026-11-04T06:00', '2026-11-04T08:30'],
    ['Asia/Kolkata', NIGHT, '2026-11-03T19:30', '2026-11-03T22:00'],
  ])('in %s closing and return are where the clock says', (zone, hours, closes, returned) => {
    const { closesAt, returnBy } = brief('2026-11-03', zone, hours)
    expect([utc(closesAt), utc(returnBy)]).toEqual([closes, returned])
    expect(hhmmOf(returnBy, zone)).toBe(hours.returnBy)
    expect(dateOf(returnBy, zone)).toBe('2026-11-04')
  })

  it('arrivals of the next day’s first hour count as the end of this one', () => {
    const { profile, midnight, opensAt, closesAt } = brief('2026-11-03', 'America/New_York', NIGHT, [
      { from: '16:00', to: '23:00', share: 0.7 },
      { from: '23:00', to: '00:30', share: 0.2 },
      { from: '00:30', to: '01:00', share: 0.1 },
    ])
    const sum = (from: number, to: number) =>
      profile.reduce(
        (s, share, q) => (midnight + q * QUARTER >= from && midnight + q * QUARTER < to ? s + share : s),
        0,
      )
    expect(sum(opensAt, closesAt)).toBeCloseTo(1, 9)
    expect(sum(closesAt - 30 * 60_000, closesAt)).toBeCloseTo(0.1, 9)
  })

  const checked = (hours: Record<string, string>, profile?: string) =>
    read({
      'plan.json': JSON.stringify({ ...JSON.parse(goodTexts['plan.json']!), hours }),
      ...(profile ? { 'profile.csv': profile } : {}),
    })
  it('are no fault up to 06:00, in the hours and in the profile', () => {
    expect(checked({ ...USUAL, returnBy: '01:00' })).toHaveProperty('plan')
    expect(checked({ ...USUAL, returnBy: '06:00' })).toHaveProperty('plan')
    expect(checked(NIGHT, 'from,to,share\n16:00,23:30,0.8\n23:30,01:00,0.2')).toHaveProperty('plan')
    expect(checked({ ...USUAL, returnBy: '06:01' })).toEqual({
      faults: [
        'plan.json:1 hours.returnBy: found "06:01"; a time later than close (19:30); up to 06:00 may be of the next day',
      ],
    })
    expect(checked(NIGHT, 'from,to,share\n16:00,23:30,0.8\n23:30,02:00,0.2')).toEqual({
      faults: ['profile.csv:3 to: found "02:00"; not after the polls close (01:00)'],
    })
    expect(checked({ ...NIGHT, returnBy: '00:30' }, 'from,to,share\n16:00,01:00,1')).toEqual({
      faults: [
        'plan.json:1 hours.returnBy: found "00:30"; a time later than close (01:00); up to 06:00 may be of the next day',
      ],
    })
  })
})

describe('days on which the clock changes', () => {
  it('the polls are open as long as the clock says, not an hour more or less', () => {
    for (const date of ['2026-11-01', '2026-03-08']) {
      const { opensAt, closesAt, midnight } = brief(date, 'America/New_York', USUAL)
      expect((closesAt - opensAt) / 3_600_000).toBe(13)
      // From midnight to opening lies the change: 7.5 hours in autumn, 5.5 in spring.
      expect((opensAt - midnight) / 3_600_000).toBe(date === '2026-11-01' ? 7.5 : 5.5)
    }
    expect(utc(brief('2026-11-01', 'America/New_York', USUAL).opensAt)).toBe('2026-11-01T11:30')
    expect(utc(brief('2026-03-08', 'America/New_York', USUAL).opensAt)).toBe('2026-03-08T10:30')
  })

  it('arrivals stand in the quarter hours of the legal hours on such days too', () => {
    for (const [date, zone] of [
      ['2026-11-01', 'America/New_York'],
      ['2026-03-08', 'America/New_York'],
      ['2026-10-04', 'Australia/Lord_Howe'],
      ['2026-04-05', 'Australia/Lord_Howe'],
    ] as const) {
      const { profile, midnight, opensAt, closesAt } = brief(date, zone, USUAL)
      const within = profile.filter((_, q) => {
        const at = midnight + q * QUARTER
        return at >= opensAt && at < closesAt
      })
      expect(within.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 9)
    }
  })

  it('a return in the night of the change is the first 01:30 in autumn, and moves on from the skipped 02:30 in spring', () => {
    const hours = { ...LATE, returnBy: '01:30' }
    expect(utc(brief('2026-10-31', 'America/New_York', hours).returnBy)).toBe('2026-11-01T05:30')
    const skipped = brief('2026-03-07', 'America/New_York', { ...LATE, returnBy: '02:30' }).returnBy
    expect([utc(skipped), hhmmOf(skipped, 'America/New_York')]).toEqual(['2026-03-08T07:30', '03:30'])
  })

  it('Lord Howe Island changes by half an hour', () => {
    // IANA time zone database: UTC + 10:30, in summer UTC + 11, from the first Sunday in October to that in April.
    const zone = 'Australia/Lord_Howe'
    expect(utc(brief('2026-10-03', zone, USUAL).opensAt)).toBe('2026-10-02T20:00')
    expect(utc(brief('2026-10-04', zone, USUAL).opensAt)).toBe('2026-10-03T19:30')
    expect(utc(brief('2026-04-05', zone, USUAL).opensAt)).toBe('2026-04-04T20:00')
    const length = (a: string, b: string) => (midnightOf(b, zone) - midnightOf(a, zone)) / 3_600_000
    expect([length('2026-10-04', '2026-10-05'), length('2026-04-05', '2026-04-06')]).toEqual([23.5, 24.5])
    // 2:00 → 2:30 in October; 2:00 → 1:30 in April: 1:45 happens twice and is the first.
    expect(hhmmOf(instantOf('2026-10-04', '02:15', zone), zone)).toBe('02:45')
    expect(utc(instantOf('2026-04-05', '01:45', zone))).toBe('2026-04-04T14:45')
  })

  it('where the change skips midnight the day begins with the change', () => {
    // Cairo, last Friday in April: 0:00 → 1:00 (IANA time zone database).
    const midnight = midnightOf('2026-04-24', 'Africa/Cairo')
    expect([dateOf(midnight, 'Africa/Cairo'), hhmmOf(midnight, 'Africa/Cairo')]).toEqual([
      '2026-04-24',
      '01:00',
    ])
    expect(dateOf(midnight - 1, 'Africa/Cairo')).toBe('2026-04-23')
  })
})
