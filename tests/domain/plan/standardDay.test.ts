import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { readPlanFolder } from '../../../server/cli/planFiles.ts'
import { minutesBetween } from '../../../server/domain/plan/fromFeedHours.ts'
import { standardProfile, standardSteps } from '../../../server/domain/plan/standardDay.ts'

const read = readPlanFolder(join(import.meta.dirname, '../../../seed/ellery'))
if ('faults' in read) throw new Error('Ellery has faults')
const { plan } = read

describe('the standard day', () => {
  it('has the steps of Ellery County, which are common practice', () => {
    expect(standardSteps).toEqual(plan.steps)
  })

  it('has Ellery’s profile at Ellery’s hours, as near as four places go', () => {
    const made = standardProfile('06:30', '19:30')
    expect(made.map(r => [r.from, r.to])).toEqual(plan.profile.map(r => [r.from, r.to]))
    for (const [i, row] of made.entries()) expect(row.share).toBeCloseTo(plan.profile[i]!.share, 3)
  })

  it('fills any hours without a gap, and its shares sum to 1', () => {
    for (const [open, close] of [
      ['06:00', '21:00'],
      ['07:00', '19:00'],
      ['12:00', '16:10'],
      ['04:00', '22:59'],
    ] as const) {
      const rows = standardProfile(open, close)
      expect([rows[0]!.from, rows.at(-1)!.to]).toEqual([open, close])
      for (const [i, row] of rows.slice(1).entries()) expect(row.from).toBe(rows[i]!.to)
      expect(rows.every(r => r.share >= 0 && minutesBetween(r.from, r.to) > 0)).toBe(true)
      expect(rows.reduce((a, r) => a + r.share, 0)).toBeCloseTo(1, 9)
    }
  })
})
