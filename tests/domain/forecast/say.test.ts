import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { chanceWords, rareWords } from '../../../server/domain/forecast/say.ts'

describe('chances as people say them', () => {
  it('are of a hundred, and never certain', () => {
    expect([0, 0.0049, 0.005, 0.224, 0.5, 0.994, 0.995, 1].map(chanceWords)).toEqual([
      'under 1 in 100',
      'under 1 in 100',
      '1 in 100',
      '22 in 100',
      '50 in 100',
      '99 in 100',
      'over 99 in 100',
      'over 99 in 100',
    ])
  })

  it('that are small are one in a number of one digit, down to the rarest that is said', () => {
    const million = (chance: number) => rareWords(chance, 1_000_000)
    expect([0.33, 0.01, 0.0099, 1 / 640, 4.2e-6, 1.1e-6, 1e-6, 0].map(million)).toEqual([
      '33 in 100',
      '1 in 100',
      'about 1 in 100',
      'about 1 in 600',
      'about 1 in 200,000',
      'about 1 in 900,000',
      'under 1 in 1,000,000',
      'under 1 in 1,000,000',
    ])
    expect(rareWords(1e-4, 1_000)).toBe('under 1 in 1,000')
  })

  it('are never said to be rarer than they are', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-9, max: 0.0099, noNaN: true }), chance => {
        const oneIn = Number(/ 1 in ([\d,]+)$/.exec(rareWords(chance, 1_000_000))![1]!.replaceAll(',', ''))
        expect(oneIn).toBeLessThanOrEqual((1 / chance) * (1 + 1e-12))
      }),
    )
  })
})
