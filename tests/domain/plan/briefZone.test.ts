import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { dateOf, hhmmOf, instantOf, isTimeZone, midnightOf } from '../../../server/domain/plan/zone.ts'

const NEW_YORK = 'America/New_York'
const utc = (at: number) => new Date(at).toISOString().slice(0, 16)

describe('local time of a zone', () => {
  test.each([
    ['2026-11-03', '06:30', NEW_YORK, '2026-11-03T11:30'],
    ['2026-06-02', '06:30', NEW_YORK, '2026-06-02T10:30'],
    ['2026-11-03', '07:00', 'Pacific/Honolulu', '2026-11-03T17:00'],
    ['2026-11-03', '07:00', 'Pacific/Guam', '2026-11-02T21:00'],
    ['2026-11-03', '07:00', 'America/Phoenix', '2026-11-03T14:00'],
    ['2026-11-03', '07:00', 'Asia/Kathmandu', '2026-11-03T01:15'],
  ])('%s %s in %s is %s UTC', (date, time, zone, expected) => {
    expect(utc(instantOf(date, time, zone))).toBe(expected)
    expect(hhmmOf(instantOf(date, time, zone), zone)).toBe(time)
    expect(dateOf(instantOf(date, time, zone), zone)).toBe(date)
  })

  test('a time that the clock skips moves on by the gap', () => {
    // 8 March 2026, 2:00 → 3:00 (Energy Policy Act of 2005: second Sunday in March).
    const skipped = instantOf('2026-03-08', '02:30', NEW_YORK)
    expect(hhmmOf(skipped, NEW_YORK)).toBe('03:30')
    expect(utc(skipped)).toBe('2026-03-08T07:30')
    expect(utc(instantOf('2026-03-08', '01:59', NEW_YORK))).toBe('2026-03-08T06:59')
    expect(utc(instantOf('2026-03-08', '03:00', NEW_YORK))).toBe('2026-03-08T07:00')
  })

  test('a time that happens twice is the first of the two', () => {
    // 1 November 2026, 2:00 → 1:00 (first Sunday in November).
    expect(utc(instantOf('2026-11-01', '01:30', NEW_YORK))).toBe('2026-11-01T05:30')
    expect(utc(instantOf('2026-11-01', '02:00', NEW_YORK))).toBe('2026-11-01T07:00')
  })

  test('the day of a change is an hour longer or shorter', () => {
    const length = (a: string, b: string) => (midnightOf(b, NEW_YORK) - midnightOf(a, NEW_YORK)) / 3_600_000
    expect(length('2026-11-01', '2026-11-02')).toBe(25)
    expect(length('2026-03-08', '2026-03-09')).toBe(23)
    expect(length('2026-11-03', '2026-11-04')).toBe(24)
  })

  test('there and back again for any time that exists, to the minute', () => {
    const zones = fc.constantFrom(
      NEW_YORK,
      'America/Chicago',
      'America/Anchorage',
      'Pacific/Guam',
      'America/Adak',
    )
    const minute = fc.integer({ min: 0, max: 20 * 365 * 24 * 60 }).map(m => Date.UTC(2015, 0, 1) + m * 60_000)
    fc.assert(
      fc.property(zones, minute, (zone, at) => {
        const back = instantOf(dateOf(at, zone), hhmmOf(at, zone), zone)
        // The later half of a doubled hour is read as the first.
        expect([at, at - 3_600_000]).toContain(back)
        expect(hhmmOf(back, zone)).toBe(hhmmOf(at, zone))
      }),
      { numRuns: 300 },
    )
  })

  test('knows which names are zones', () => {
    expect(isTimeZone('America/New_York')).toBe(true)
    expect(isTimeZone('America/Ellery')).toBe(false)
  })

  test('an unreadable date is no number', () => {
    expect(instantOf('2026-13-40', '06:30', NEW_YORK)).toBeNaN()
  })
})
