import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { APP_ROLE, connect, type Tx } from './connect.ts'

/** The database can't be used as it is. The message is one line that says what to do. */
export class DatabaseRefused extends Error {
  override readonly name = 'DatabaseRefused'
}

export type Migration = { number: number; name: string; sql: string }

/** Nothing but "sunup" in bytes: everybody who migrates takes the same lock. */
const LOCK = 0x73756e7570

/**
 * Brings the database to this program's version in one transaction: all of it or nothing. Two servers that start
 * together wait for each other. Needs a user that may create tables and, once, the role `sunup_app`.
 *
 * @throws DatabaseRefused where the database is from a newer version, or its user may not do what is needed
 */
export async function migrate(url: string, migrations: Migration[] = ownMigrations()): Promise<void> {
  const sql = connect(url, { max: 1, as: 'owner', name: 'sunup migrate' })
  try {
    await sql.begin(tx => migrateWithin(tx, migrations))
  } catch (error) {
    throw inOneLine(error)
  } finally {
    await sql.end({ timeout: 5 })
  }
}

/** Runs those of the migrations that were not run yet; the lock is held until the transaction ends. */
export async function migrateWithin(tx: Tx, migrations: readonly Migration[]): Promise<void> {
  await tx`select pg_advisory_xact_lock(${LOCK})`
  const done = await versionOf(tx)
  const known = migrations.at(-1)?.number ?? 0
  if (done > known)
    throw new DatabaseRefused(
      `the database is of a newer Sunup (version ${done}, this one knows ${known}): start that one, or give this one another database`,
    )
  await giveRole(tx)
  for (const { number, name, sql: text } of migrations) {
    if (number <= done) continue
    await tx.unsafe(text)
    await tx`insert into migration (number, name) values (${number}, ${name})`
  }
}

/** The highest migration that was run; 0: an empty database. */
export async function versionOf(tx: Tx): Promise<number> {
  await tx`create table if not exists migration (
    number int primary key, name text not null, done_at timestamptz not null default now())`
  const [row] = await tx<{ number: number | null }[]>`select max(number) as number from migration`
  return row?.number ?? 0
}

/** Makes the role that the program runs as and lets the url's user take it on. */
async function giveRole(tx: Tx): Promise<void> {
  const [me] = await tx<{ name: string; is: boolean; has: boolean }[]>`
    select current_user as name,
           exists (select 1 from pg_roles where rolname = ${APP_ROLE}) as is,
           exists (select 1 from pg_roles r where r.rolname = ${APP_ROLE}
                   and pg_has_role(current_user, r.oid, 'member')) as has`
  if (!me || (me.is && me.has)) return
  const user = `"${me.name.replaceAll('"', '""')}"`
  const needed = [...(me.is ? [] : [`CREATE ROLE ${APP_ROLE} NOLOGIN`]), `GRANT ${APP_ROLE} TO ${user}`]
  try {
    await tx.unsafe(`savepoint before_role; ${needed.join('; ')}`)
  } catch (error) {
    await tx.unsafe('rollback to before_role')
    // Another database of this server was given the role in the same moment.
    if (codeOf(error) === '42710' || codeOf(error) === '23505') return giveRole(tx)
    if (codeOf(error) !== '42501') throw error
    throw new DatabaseRefused(
      `the database user ${user} may not make the role that Sunup runs as; run this once as an administrator: ${needed.join('; ')};`,
    )
  }
}

function inOneLine(error: unknown): unknown {
  if (codeOf(error) === '42501')
    return new DatabaseRefused(
      `the database user may not make Sunup's tables: give Sunup a database that it owns (${(error as Error).message})`,
    )
  return error
}

function codeOf(error: unknown): unknown {
  return typeof error === 'object' && error !== null && 'code' in error ? error.code : undefined
}

/** The numbered files of db/migrations, found from the sources as from the bundle in dist. */
export function ownMigrations(): Migration[] {
  const here = dirname(fileURLToPath(import.meta.url))
  let folder = here
  while (!existsSync(join(folder, 'db', 'migrations'))) {
    if (folder === dirname(folder)) throw new Error(`no db/migrations above ${here}`)
    folder = dirname(folder)
  }
  const files = join(folder, 'db', 'migrations')
  return readdirSync(files)
    .filter(file => /^\d{4}-.+\.sql$/.test(file))
    .sort()
    .map(file => ({
      number: Number(file.slice(0, 4)),
      name: file.slice(5, -4),
      sql: readFileSync(join(files, file), 'utf8'),
    }))
}
