import { describe, expect, it } from 'vitest'
import { didYouMean, nearest } from '../../../server/domain/plan/nearest.ts'

const columns = ['code', 'name', 'place', 'registered', 'expected', 'medianMinutes', 'p90Minutes', 'stations']

describe('the nearest known word', () => {
  it.each([
    ['statoins', 'stations'],
    ['Station', 'stations'],
    ['median minutes', 'medianMinutes'],
    ['MEDIAN_MINUTES', 'medianMinutes'],
    ['reg', 'registered'],
    ['nmae', 'name'],
    ['codes', 'code'],
  ])('%s is %s', (word, meant) => {
    expect(nearest(word, columns)).toBe(meant)
  })

  it.each(['colour', 'x', '', '---', 'Wähler', 'n'.repeat(10_000)])('%s is none of them', word => {
    expect(nearest(word, columns)).toBeNull()
    expect(didYouMean(word, columns)).toBe('')
  })

  it('is said with what can’t be seen in it', () => {
    expect(didYouMean('gullpoint', ['gull\u200Dpoint'])).toBe('; did you mean “gull\\u200dpoint”?')
  })
})
