import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { backupTables, leftOut } from '../../db/backupTables.ts'
import { connect, type Sql } from '../../db/connect.ts'
import { freshDatabase } from '../support/database.ts'

let sql: Sql
beforeAll(async () => {
  sql = connect(await freshDatabase(), { max: 1, as: 'owner' })
})
afterAll(() => sql.end({ timeout: 1 }))

type Column = { table: string; column: string }
const columns = () =>
  sql<Column[]>`
    select c.table_name as table, c.column_name as column
    from information_schema.columns c join information_schema.tables t using (table_schema, table_name)
    where table_schema = 'public' and t.table_type = 'BASE TABLE'`

describe('the list of what a backup holds', () => {
  it('has every table of the database, or names it as left out with its reason', async () => {
    const there = new Set((await columns()).map(({ table }) => table))
    const named = [...backupTables.map(({ name }) => name), ...Object.keys(leftOut)]
    expect(there.size).toBeGreaterThan(10)
    for (const table of there)
      expect(
        named.filter(name => name === table),
        table,
      ).toHaveLength(1)
    for (const [table, reason] of Object.entries(leftOut)) expect(reason.length, table).toBeGreaterThan(20)
  })

  it('has every column of its tables', async () => {
    const there = await columns()
    for (const table of backupTables) {
      const inDatabase = there.filter(c => c.table === table.name).map(c => c.column)
      expect([...table.columns].sort(), table.name).toEqual(inDatabase.sort())
    }
  })

  it('puts what is referred to before what refers to it', async () => {
    const references = await sql<{ from: string; to: string }[]>`
      select conrelid::regclass::text as "from", confrelid::regclass::text as "to"
      from pg_constraint where contype = 'f' and conrelid <> confrelid`
    const order = backupTables.map(({ name }) => name)
    const kept = references.filter(({ from }) => order.includes(from))
    expect(kept.length).toBeGreaterThan(3)
    for (const { from, to } of kept)
      expect(order.indexOf(to), `${from} → ${to}`).toBeLessThan(order.indexOf(from))
    for (const { to } of kept) expect(order).toContain(to)
  })
})
