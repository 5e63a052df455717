import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { mustWait } from '../../server/domain/lines/steady.ts'
import { CHECK_VALUES } from './samples.ts'

/** The check values in tests/reference are copies: each row stands in the published table that it names. */
const ours = (name: string) =>
  readFileSync(fileURLToPath(new URL(`../reference/${name}`, import.meta.url)), 'utf8')
const published = (name: string) => readFileSync(join(CHECK_VALUES, name), 'utf8').replaceAll('\r', '')
const rowsOf = (text: string) =>
  text
    .replaceAll('\r', '')
    .trim()
    .split('\n')
    .filter(line => !line.startsWith('#'))

describe('check values', () => {
  it.each(['transient_queue.csv', 'mmc.csv', 'mmck.csv', 'statistics.csv'])(
    '%s holds nothing that isn’t in the published table',
    name => {
      const known = new Set(rowsOf(published(name)))
      const rows = rowsOf(ours(name))
      expect(rows.length).toBeGreaterThan(1)
      expect(rows.filter(row => !known.has(row))).toEqual([])
    },
  )

  it('the chance of having to wait is the published one in every row of the steady state', () => {
    const [header, ...rows] = rowsOf(published('mmc.csv'))
    const column = (name: string) => header!.split(',').indexOf(name)
    let seen = 0
    for (const row of rows) {
      const cells = row.split(',').map(Number)
      const of = (name: string) => cells[column(name)]!
      expect(mustWait(of('lambda') / of('mu'), of('m'))).toBeCloseTo(of('erlang_c'), 8)
      seen++
    }
    expect(seen).toBeGreaterThan(10)
  })
})
