import { randomBytes } from 'node:crypto'
import { getTableColumns, getTableName, is } from 'drizzle-orm'
import { PgTable } from 'drizzle-orm/pg-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { connect, type Sql } from '../../db/connect.ts'
import { DatabaseRefused, migrate, ownMigrations } from '../../db/migrate.ts'
import * as schema from '../../db/schema.ts'
import { freshDatabase } from '../support/database.ts'

let url: string
let sql: Sql
beforeAll(async () => {
  url = await freshDatabase()
  sql = connect(url, { max: 2, as: 'owner' })
})
afterAll(() => sql.end({ timeout: 1 }))

/** A database without tables, and a user who may only do what is said. */
async function emptyDatabaseFor(
  rights: string,
): Promise<{ url: string; user: string; grant: () => Promise<unknown> }> {
  const name = `test_${randomBytes(6).toString('hex')}`
  await sql.unsafe(`create role ${name} login password 'tests' ${rights}`)
  await sql.unsafe(`create database ${name} owner ${name}`)
  const own = new URL(url)
  own.pathname = `/${name}`
  own.username = name
  own.password = 'tests'
  return { url: own.href, user: name, grant: () => sql.unsafe(`grant sunup_app to ${name}`) }
}

describe('the tables', () => {
  it('are what the schema says, column for column', async () => {
    const said = Object.values(schema)
      .filter(table => is(table, PgTable))
      .flatMap(table =>
        Object.values(getTableColumns(table)).map(
          c => `${getTableName(table)}.${c.name} ${c.getSQLType()} ${c.notNull}`,
        ),
      )
    const rows = await sql<{ column: string }[]>`
      select table_name || '.' || column_name || ' ' || data_type || ' ' || (is_nullable = 'NO') as column
      from information_schema.columns where table_schema = 'public' and table_name <> 'migration'`
    expect(said.length).toBeGreaterThan(50)
    expect(said.sort()).toEqual(rows.map(r => r.column).sort())
  })

  it('migrating again changes nothing, also from two servers at once', async () => {
    const before = await sql`select * from migration`
    await Promise.all([migrate(url), migrate(url)])
    expect(await sql`select * from migration`).toEqual(before)
    expect(before).toHaveLength(ownMigrations().length)
  })

  it('a migration that fails leaves nothing behind', async () => {
    const broken = { number: 9_000, name: 'broken', sql: 'create table half (id int); select 1 / 0' }
    await expect(migrate(url, [...ownMigrations(), broken])).rejects.toThrow('division by zero')
    expect(await sql`select to_regclass('half') as half`).toMatchObject([{ half: null }])
  })

  it('a database from a newer version is refused in one clear line', async () => {
    const newer = await freshDatabase()
    await migrate(newer, [...ownMigrations(), { number: 99, name: 'later', sql: 'select 1' }])
    const refusal = await migrate(newer).catch(error => error)
    expect(refusal).toBeInstanceOf(DatabaseRefused)
    expect(refusal.message).toMatch(/newer Sunup \(version 99, this one knows \d+\)/)
    expect(refusal.message).not.toContain('\n')
  })

  it('a user who may not give itself the program’s role is told in one line what to run, and then it works', async () => {
    const { url: own, user, grant } = await emptyDatabaseFor('')
    const refusal = await migrate(own).catch(error => error)
    expect(refusal).toBeInstanceOf(DatabaseRefused)
    expect(refusal.message).toContain(`GRANT sunup_app TO "${user}";`)
    expect(refusal.message).not.toContain('\n')
    await grant()
    await migrate(own)
    const app = connect(own, { max: 1 })
    expect(await app`select current_user as role, count(*) as entries from entry`).toMatchObject([
      { role: 'sunup_app', entries: 0 },
    ])
    await app.end()
  })
})
