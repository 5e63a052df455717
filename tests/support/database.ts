import { randomBytes } from 'node:crypto'
import { existsSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { inject } from 'vitest'
import { connect } from '../../db/connect.ts'
import { startEmbedded } from '../../db/embedded.ts'
import { migrate } from '../../db/migrate.ts'

/**
 * One database server a run, started by the first test file that asks and stopped by globalSetup.ts; a database
 * of its own for each that asks, copied from a template that was migrated once.
 */
const TEMPLATE = 'sunup_template'
const START_MS = 60_000

/** The url of a new, migrated database. Its user owns it; `connect` makes the program's role of it. */
export function freshDatabase(): Promise<string> {
  return makeDatabase(` template ${TEMPLATE}`)
}

/** The same without any table. */
export function bareDatabase(): Promise<string> {
  return makeDatabase('')
}

async function makeDatabase(how: string): Promise<string> {
  const server = await serverUrl()
  const name = `test_${randomBytes(6).toString('hex')}`
  const sql = connect(server, { max: 1, as: 'owner', name: 'sunup tests' })
  try {
    await sql.unsafe(`create database ${name}${how}`)
  } finally {
    await sql.end()
  }
  return withDatabase(server, name)
}

let known: Promise<string> | null = null

function serverUrl(): Promise<string> {
  known ??= startOrWait(inject('testCluster'))
  return known
}

/** Test files run in processes of their own: the one that makes the lock starts the server, the others wait. */
async function startOrWait(dir: string): Promise<string> {
  const file = join(dir, 'url')
  try {
    writeFileSync(join(dir, 'starting'), String(process.pid), { flag: 'wx' })
  } catch {
    for (const end = performance.now() + START_MS; !existsSync(file); await sleep(20))
      if (performance.now() > end) throw new Error(`the database server of the tests did not start in ${dir}`)
    return readFileSync(file, 'utf8')
  }
  const { url } = await startEmbedded(join(dir, 'database'))
  const sql = connect(url, { max: 1, as: 'owner', name: 'sunup tests' })
  await sql.unsafe(`create database ${TEMPLATE}`)
  await sql.end()
  await migrate(withDatabase(url, TEMPLATE))
  writeFileSync(`${file}.half`, url)
  renameSync(`${file}.half`, file)
  return url
}

function withDatabase(url: string, name: string): string {
  const own = new URL(url)
  own.pathname = `/${name}`
  return own.href
}
