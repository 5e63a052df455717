import { afterEach } from 'vitest'
import { openAccessStore } from '../../db/accessStore.ts'
import { connect, type Sql } from '../../db/connect.ts'
import { openDays } from '../../db/days.ts'
import { freshDatabase } from '../support/database.ts'
import { accessContract } from './accessContract.ts'
import { signInContract } from './signInContract.ts'

const open: Sql[] = []
afterEach(async () => {
  for (const sql of open.splice(0)) await sql.end({ timeout: 5 })
})

const openTables = async () => {
  const sql = connect(await freshDatabase(), { max: 8 })
  open.push(sql)
  const days = openDays(sql)
  const hash = 'f'.repeat(64)
  await days.savePlan(hash, '{}')
  const { id } = await days.create({
    id: 'ellery',
    county: 'Ellery County',
    name: 'General election',
    kind: 'practice',
    date: '2026-11-03',
    timeZone: 'America/New_York',
    planHash: hash,
    openedAt: Date.UTC(2026, 10, 3, 9),
    seed: 1,
  })
  const closeDay = async () => {
    await days.close(id, Date.UTC(2026, 10, 4))
  }
  return { store: openAccessStore(sql), day: id, closeDay }
}

accessContract('Postgres', openTables)
signInContract('Postgres', openTables)
