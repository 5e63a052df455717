import { createHash } from 'node:crypto'
import { expect, it } from 'vitest'
import { checkPlan } from '../../../server/domain/plan/check.ts'
import { canonicalPlan } from '../../../server/domain/plan/hash.ts'
import { folder, goodJson, goodTables } from './checkSupport.ts'

const textOf = (...args: Parameters<typeof folder>) => {
  const checked = checkPlan(folder(...args))
  if (!('plan' in checked)) throw new Error('not a plan')
  return canonicalPlan(checked.plan)
}

it('the same plan has the same text, whatever the order of its fields and columns', () => {
  const reversed = Object.fromEntries(Object.entries(goodJson).reverse())
  const seals = 'number,container,precinct\nE1,ballot-box,gull-point\nE2,ballot-box,north-light'
  expect(textOf(reversed, { seals })).toBe(textOf())
})

it('any other figure or order of rows is another text', () => {
  expect(textOf(goodJson, { precincts: goodTables.precincts.replace('600', '601') })).not.toBe(textOf())
  const [head, a, b] = goodTables.seals.split('\n')
  expect(textOf(goodJson, { seals: [head, b, a].join('\n') })).not.toBe(textOf())
})

it('the text is JSON with sorted keys and nothing that is not given', () => {
  const text = textOf()
  expect(text).not.toContain(' :')
  expect(text).not.toContain('undefined')
  const keys = Object.keys(JSON.parse(text))
  expect(keys).toEqual([...keys].sort())
})

it('a plan that uses none of the later columns keeps the hash that it had before there were any', () => {
  const hash = createHash('sha256').update(textOf(), 'utf8').digest('hex')
  expect(hash).toBe('fe3a145d77ea39541857f44d036be28b6e9f23b41d36a39f01be07736d19cd06')
})
