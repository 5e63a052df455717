import { expect, it } from 'vitest'
import { onlyDay } from '../../app/live/onlyDay.ts'

const day = (id: string, running: boolean) => ({ id, running })

it.each([
  ['none yet', null, null],
  ['none at all', [], null],
  ['one that runs', [day('a', true)], 'a'],
  ['one that runs beside closed ones', [day('a', true), day('b', false), day('c', false)], 'a'],
  ['the only one, closed', [day('b', false)], 'b'],
  ['two that run', [day('a', true), day('b', true), day('c', false)], null],
  ['two closed ones', [day('b', false), day('c', false)], null],
] as const)('of %s: the day that is meant is told', (_, days, meant) => {
  expect(onlyDay(days)).toBe(meant)
})
