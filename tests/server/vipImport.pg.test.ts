import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, it } from 'vitest'
import { root, smallElements } from '../support/aFeed.ts'
import { freshDatabase } from '../support/database.ts'
import { sunup } from '../support/programs.ts'

const folder = mkdtempSync(join(tmpdir(), 'vip-import-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

it('nothing of a feed is imported until it is confirmed, or its folder imported', async () => {
  const file = join(folder, 'feed.xml')
  writeFileSync(file, root(smallElements()))
  const env = { DATABASE_URL: await freshDatabase() }
  const days = async () => (await sunup(['days'], env)).out.split('\n').filter(line => line !== '')

  const looked = await sunup(['plan', 'import', '--vip', file, '--kind', 'election'], env)
  expect([looked.code, looked.err]).toEqual([3, ''])
  expect(looked.out).toMatch(/Nothing was imported: \d+ assumptions/)
  expect(await days()).toEqual([])

  const confirmed = await sunup(['plan', 'import', '--vip', file, '--kind', 'election', '--confirm'], env)
  expect([confirmed.code, confirmed.err]).toEqual([0, ''])
  expect(confirmed.out).toMatch(/^day ellery-county-2026-11-03$/m)
  expect(await days()).toEqual([
    expect.stringMatching(/^ellery-county-2026-11-03 {2}election {2}2026-11-03 {2}open/),
  ])

  const dir = join(folder, 'plan')
  expect((await sunup(['plan', 'import', '--vip', file, '--to', dir], env)).code).toBe(0)
  expect(await days()).toHaveLength(1)
  expect((await sunup(['plan', 'import', dir], env)).code).toBe(0)
  expect(await days()).toHaveLength(2)
  // Six programs are started, each with a connection of its own.
}, 180_000)
