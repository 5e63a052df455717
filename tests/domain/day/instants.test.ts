import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { fromRfc3339, toRfc3339 } from '../../../server/domain/time.ts'

describe('reading instants', () => {
  test('reads whatever is written, to the millisecond', () => {
    const any = fc.integer({ min: Date.UTC(1, 0, 1), max: Date.UTC(9999, 11, 31) })
    fc.assert(
      fc.property(any, at => {
        expect(fromRfc3339(toRfc3339(at))).toBe(at)
      }),
      { numRuns: 2_000 },
    )
  })

  test.each([
    '2026-11-03T06:30:00-05:00',
    '2026-11-03T06:30:00Z',
    '2026-11-03T06:30:00.5Z',
    '2024-02-29T00:00:00.000Z',
    '2026-12-31T23:59:59.999Z',
    '2026-10-31T00:00:00.000Z',
    '2026-01-01T00:00:00.000Z',
    '2000-03-01T12:00:00.000Z',
  ])('reads %s as Date.parse does', text => {
    expect(fromRfc3339(text)).toBe(Date.parse(text))
    expect(fromRfc3339(text)).not.toBeNaN()
  })

  test.each(['2026-11-03T25:00:00.000Z', '2026-13-03T06:30:00.000Z', '2026-11-03T06:3x:00.000Z', 'noon', ''])(
    '%s is no number',
    text => {
      expect(fromRfc3339(text)).toBeNaN()
    },
  )
})
