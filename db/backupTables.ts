import { getTableConfig, type PgTable } from 'drizzle-orm/pg-core'
import {
  apiToken,
  credential,
  day,
  detail,
  device,
  enrolCode,
  entry,
  head,
  peopleLog,
  person,
  plan,
  refused,
} from './schema.ts'

/**
 * What a backup holds: the one list, from which backup and restore make their statements. The columns are those of
 * db/schema.ts, all of them. In this order rows are written back, so that what is referred to stands first.
 * tests/server/backupTables.pg.test.ts fails where a table of the database is neither here nor left out below.
 */
export type BackupTable = {
  name: string
  columns: readonly string[]
  /** The primary key: the order of the rows. */
  key: readonly string[]
  /** Changes of it show in the head's revision, so that it needn't be looked at to know that nothing changed. */
  behindHead: boolean
}

export const backupTables: readonly BackupTable[] = [
  kept(plan),
  kept(day),
  kept(head),
  kept(entry, true),
  kept(detail, true),
  kept(refused, true),
  kept(device),
  kept(enrolCode),
  kept(person),
  kept(credential),
  kept(apiToken),
  kept(peopleLog),
]

/** Tables that stay behind, each with the reason. */
export const leftOut: Readonly<Record<string, string>> = {
  migration: 'the header of the backup says the version',
  session: 'nobody is signed in on a restored machine',
  sign_in_link: 'one that was spent after the backup would be good again',
  known_browser: 'it becomes known again when somebody signs in',
}

function kept(table: PgTable, behindHead = false): BackupTable {
  const { name, columns, primaryKeys } = getTableConfig(table)
  const key = primaryKeys[0]?.columns ?? columns.filter(column => column.primary)
  return {
    name,
    columns: columns.map(column => column.name),
    key: key.map(column => column.name),
    behindHead,
  }
}
