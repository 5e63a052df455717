import { existsSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { connect, type Sql } from '../db/connect.ts'
import { startEmbedded } from '../db/embedded.ts'
import { migrate } from '../db/migrate.ts'
import { keep, readKept } from './keptFile.ts'
import { type Progress, Stop } from './progress.ts'
import type { Settings } from './settings.ts'

/** The database, started where it is ours, brought to this version, and connected. */
export type Storage = { sql: Sql; url: string; stop(): Promise<void> }

/** Connections: the log's writer and follower, and a few for reading. */
const CONNECTIONS = 8

export async function openStorage(settings: Settings, progress: Progress): Promise<Storage> {
  if (settings.databaseUrl) {
    await migrateAt(settings.databaseUrl)
    return {
      sql: connect(settings.databaseUrl, { max: CONNECTIONS }),
      url: settings.databaseUrl,
      stop: async () => {},
    }
  }
  const embedded = await startEmbedded(join(settings.dataFolder, 'database'), progress)
  try {
    await migrateAt(embedded.url)
  } catch (error) {
    await embedded.stop()
    throw error
  }
  const note = noteOf(settings)
  keep(note, { url: embedded.url, pid: process.pid })
  const sql = connect(embedded.url, { max: CONNECTIONS })
  return {
    sql,
    url: embedded.url,
    stop: async () => {
      rmSync(note, { force: true })
      await embedded.stop(sql.presence.away() === null)
    },
  }
}

/**
 * The database as it stands, without this version's tables: a backup brings its own. Not beside a running server.
 */
export async function openForRestore(
  settings: Settings,
  progress: Progress,
): Promise<{ url: string; stop(): Promise<void> }> {
  if (settings.databaseUrl) return { url: settings.databaseUrl, stop: async () => {} }
  const running = readKept<{ url: string; pid: number }>(noteOf(settings))
  const sql = running && isAlive(running.pid) ? await answering(running.url) : null
  await sql?.end({ timeout: 1 })
  if (sql)
    throw new Stop(`A server is running on ${settings.dataFolder}: stop it, restore, then start it again.`)
  return startEmbedded(join(settings.dataFolder, 'database'), progress)
}

/**
 * For the `sunup` command: the database of a server that is running on this folder, else the database itself
 * for as long as the command lasts. A command that only looks never makes one: a mistyped folder must not pass
 * for an unaltered log.
 */
export async function borrowStorage(
  settings: Settings,
  progress: Progress,
  onlyLooks: boolean,
): Promise<Storage> {
  const folder = join(settings.dataFolder, 'database')
  if (onlyLooks && !settings.databaseUrl && !existsSync(folder))
    throw new Stop(`There is no database in ${settings.dataFolder}: is SUNUP_DATA right?`)
  const running = settings.databaseUrl ? null : readKept<{ url: string; pid: number }>(noteOf(settings))
  const sql = running && isAlive(running.pid) ? await answering(running.url) : null
  if (!running || !sql) return openStorage(settings, progress)
  return { sql, url: running.url, stop: async () => {} }
}

/** null: nobody answers there; the note is of a server that was killed, its number given to another program. */
async function answering(url: string): Promise<Sql | null> {
  const sql = connect(url, { max: 2, name: 'sunup command' })
  try {
    await sql`select 1`
    return sql
  } catch {
    await sql.end({ timeout: 1 })
    return null
  }
}

function noteOf(settings: Settings): string {
  return join(settings.dataFolder, 'running.json')
}

async function migrateAt(url: string): Promise<void> {
  try {
    await migrate(url)
  } catch (error) {
    if (error instanceof Error && error.name === 'DatabaseRefused') throw error
    throw new Stop(
      `The database can't be used: ${(error as Error).message || (error as { code?: string }).code}`,
    )
  }
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM'
  }
}
