import { describe, expect, it } from 'vitest'
import { backupName, madeAtOf, toRemove } from '../../server/backupsKept.ts'
import { HOUR, MINUTE } from '../../server/domain/time.ts'

const DAY = 24 * HOUR
const NOON = Date.parse('2026-11-04T12:00:00Z')

/** What is left after a server has made one every five minutes for so long, ages in minutes. */
function leftAfter(ms: number): number[] {
  let names: string[] = []
  for (let at = NOON - ms; at <= NOON; at += 5 * MINUTE) {
    names.push(backupName(at))
    const gone = new Set(toRemove(names, at))
    names = names.filter(name => !gone.has(name))
  }
  return names.map(name => (NOON - madeAtOf(name)!) / MINUTE).sort((a, b) => a - b)
}

describe('which automatic backups stay', () => {
  it('the newest 24', () => {
    expect(leftAfter(2 * HOUR).slice(0, 24)).toEqual(Array.from({ length: 24 }, (_, i) => i * 5))
  })

  it('then the last of each hour for three days, then the last of each day for two weeks', () => {
    const left = leftAfter(16 * DAY)
    const older = left.filter(age => age > 120)
    const hourly = older.filter(age => age <= 3 * 24 * 60)
    expect(hourly).toHaveLength(3 * 24 - 2)
    for (const age of hourly) expect(age % 60).toBe(5)
    const daily = older.filter(age => age > 3 * 24 * 60)
    expect(daily).toHaveLength(11)
    for (const age of daily) expect(age % (24 * 60)).toBe(12 * 60 + 5)
    expect(Math.max(...left)).toBeLessThanOrEqual(14 * 24 * 60)
  })

  it('one that stood still for a month keeps what it has of the newest', () => {
    const names = Array.from({ length: 10 }, (_, i) => backupName(NOON - 30 * DAY - i * MINUTE))
    expect(toRemove(names, NOON)).toEqual([])
  })

  it('leaves every file alone that is none of them', () => {
    const others = [
      'notes.txt',
      'sunup-by-hand.backup',
      'sunup-2026-13-01T00-00-00Z.backup',
      `${backupName(1)}.half`,
    ]
    const many = Array.from({ length: 60 }, (_, i) => backupName(NOON - i * MINUTE))
    const gone = toRemove([...others, ...many], NOON)
    expect(gone.length).toBeGreaterThan(20)
    for (const name of others) expect(gone).not.toContain(name)
    expect(backupName(NOON)).toBe('sunup-2026-11-04T12-00-00Z.backup')
    expect(madeAtOf(backupName(NOON))).toBe(NOON)
  })
})
