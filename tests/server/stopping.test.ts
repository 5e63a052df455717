import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { inStages, leftBehind, type Stage } from '../../server/stopping.ts'

beforeEach(() => {
  vi.useFakeTimers()
})
afterEach(() => {
  vi.useRealTimers()
})

const never = () => new Promise<void>(() => {})

async function stopped(stages: Stage[], isAway = false) {
  const troubles: unknown[] = []
  const from = performance.now()
  const ending = inStages(
    stages,
    () => isAway,
    error => troubles.push(error),
  )
  await vi.advanceTimersByTimeAsync(60_000)
  let ms = -1
  const left = await ending.then(what => {
    ms = performance.now() - from
    return what
  })
  return { left, troubles, ms }
}

describe('a stop in stages', () => {
  it('ends each in its turn, also after one that hangs and one that fails, and names those two', async () => {
    const order: string[] = []
    const ends = (what: string): Stage => ({
      what,
      ms: 1_000,
      end: async () => void order.push(what),
    })
    const { left, troubles } = await stopped([
      ends('one'),
      { what: 'two', ms: 5_000, end: never },
      { what: 'three', ms: 1_000, end: () => Promise.reject(new Error('it fails')) },
      ends('four'),
    ])
    expect(order).toEqual(['one', 'four'])
    expect(left).toEqual(['two', 'three'])
    expect(troubles).toEqual([new Error('it fails')])
  })

  it.each([
    ['its own time', false, 5_900, 6_200],
    ['less where the database is away', true, 3_400, 3_800],
  ])('gives one that hangs %s', async (_, isAway, least, most) => {
    const marks: number[] = []
    const mark = async () => void marks.push(performance.now())
    await stopped(
      [
        { what: 'before', ms: 1_000, end: mark },
        { what: 'hangs', ms: 6_000, end: never },
        { what: 'after', ms: 1_000, end: mark },
      ],
      isAway,
    )
    expect(marks[1]! - marks[0]!).toBeGreaterThan(least)
    expect(marks[1]! - marks[0]!).toBeLessThan(most)
  })

  it('says nothing where nothing was left, and else in one line what, and that nothing acknowledged is missing', () => {
    expect(leftBehind(null, 7, [])).toBeNull()
    const kept = 'Nothing that was acknowledged is missing'
    const away = leftBehind(43_400, 7, ['the running days'])!.message
    expect(away).toMatch(
      /^Stopped while the database was away, for 43 s\. Not written: 7 reports and entries that waited, who /,
    )
    expect(leftBehind(43_400, 0, [])!.message).toContain('Not written: who was heard last')
    const late = leftBehind(null, 0, ['the running days', 'the pages'])!.message
    expect(late).toMatch(/^Stopped without an orderly end of: the running days, the pages\. /)
    for (const line of [away, late]) {
      expect(line).toContain(kept)
      expect(line).not.toContain('\n')
    }
  })
})
