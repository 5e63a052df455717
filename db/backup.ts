import { createHash } from 'node:crypto'
import { once } from 'node:events'
import { createWriteStream, existsSync, rmSync } from 'node:fs'
import { open, rename } from 'node:fs/promises'
import { dirname } from 'node:path'
import { pipeline } from 'node:stream/promises'
import { setTimeout as sleep } from 'node:timers/promises'
import { createGzip } from 'node:zlib'
import { FORM, type Header, type HeadOfDay } from '../server/domain/backup/form.ts'
import { BackupRefused, sealing } from './backupForm.ts'
import { type BackupTable, backupTables } from './backupTables.ts'
import type { Query, Sql, Tx } from './connect.ts'
import { chainHash } from './log/dayBatch.ts'
import { ownMigrations } from './migrate.ts'
import { isConnectionLost } from './trouble.ts'

export type BackupOptions = {
  madeAt: number
  /** Put in the place of a file that is there. */
  replace: boolean
  /** Share of the time for which this process and the database may work at it, above 0 and at most 1. */
  share?: number
  /** Rows so far, about once a thousand. */
  onProgress?: (rows: number) => void
  signal?: AbortSignal
  /** Where the bytes go instead (tests: a device that is always full). */
  sinkAt?: string
}

export type BackupMade = {
  file: string
  bytes: number
  rows: Record<string, number>
  days: HeadOfDay[]
  state: string
}

/** Rows fetched and written at once. */
const BLOCK = 1_000
/** Packs nearly as well as the standard level at a third of its time. */
const LEVEL = 3
const START = '0'.repeat(64)

/**
 * Writes everything that a restored system needs into one file, from one snapshot of the database, while reports go
 * on being taken: a reader of Postgres holds up no writer. Memory doesn't grow with the log.
 *
 * The file appears whole, with mode 0600, or not at all. A log whose chain is broken is not copied: the backups
 * before it stand, and `log verify` tells more.
 *
 * @throws BackupRefused with one line for people
 */
export async function writeBackup(sql: Sql, file: string, options: BackupOptions): Promise<BackupMade> {
  if (!options.replace && existsSync(file))
    throw new BackupRefused(`${file} is there already: name another file, or add --replace.`)
  const half = `${file}.half`
  rmSync(half, { force: true })
  try {
    const made = await pack(sql, half, options)
    await rename(half, file)
    await settleFolder(dirname(file))
    return { file, ...made }
  } catch (error) {
    rmSync(half, { force: true })
    throw inOneLine(file, error)
  }
}

async function pack(sql: Sql, half: string, options: BackupOptions): Promise<Omit<BackupMade, 'file'>> {
  const gzip = createGzip({ level: LEVEL, chunkSize: 64 * 1024 })
  const seal = sealing()
  const sink = createWriteStream(options.sinkAt ?? half, {
    flags: options.sinkAt ? 'w' : 'wx',
    mode: 0o600,
    flush: options.sinkAt === undefined,
  })
  let failure: unknown
  const written = pipeline(gzip, seal, sink, { signal: options.signal })
  const failed = written.then(
    () => {},
    error => {
      failure = error
    },
  )
  const digest = createHash('sha256')
  const write = async (text: string, counted = true) => {
    if (failure !== undefined) throw failure
    if (counted) digest.update(text)
    if (!gzip.write(text)) await Promise.race([once(gzip, 'drain').catch(() => {}), failed])
    if (failure !== undefined) throw failure
  }
  try {
    const made = await sql.begin('isolation level repeatable read read only', async tx => {
      // A slow disk may keep us from asking for longer than a server's transaction should stand.
      await tx`set local idle_in_transaction_session_timeout = '10min'`
      const first = await headerOf(tx, options.madeAt)
      await write(`${JSON.stringify(first)}\n`)
      const rows: Record<string, number> = {}
      for (const table of backupTables) rows[table.name] = await writeTable(tx, table, write, options)
      return { rows, days: first.days, state: first.state }
    })
    await write(`${JSON.stringify({ end: { rows: made.rows, sha256: digest.digest('hex') } })}\n`, false)
    gzip.end()
    await written
    return { ...made, bytes: seal.bytes() }
  } catch (error) {
    gzip.destroy()
    await failed
    throw error
  }
}

async function headerOf(tx: Tx, madeAt: number): Promise<Header> {
  const days = await tx<HeadOfDay[]>`select day, position, hash from head order by day`
  return {
    sunup: 'backup',
    form: FORM,
    schema: ownMigrations().at(-1)!.number,
    madeAt: new Date(madeAt).toISOString(),
    state: await stateOf(tx),
    days: days.map(({ day, position, hash }) => ({ day, position, hash })),
    tables: Object.fromEntries(backupTables.map(({ name, columns }) => [name, [...columns]])),
  }
}

/** Fingerprint of all that a backup would hold: it is another one as soon as anything of it changes. */
export async function stateOf(sql: Query): Promise<string> {
  const parts = backupTables
    .filter(table => !table.behindHead)
    .map(
      ({ name }) =>
        `(select count(*) || ':' || coalesce(sum(hashtextextended(t::text, 0)), 0) from "${name}" t)`,
    )
  const [found] = await sql.unsafe<{ state: string }[]>(`select ${parts.join(` || ' ' || `)} as state`)
  return createHash('sha256').update(found!.state).digest('hex')
}

async function writeTable(
  tx: Tx,
  { name, columns, key }: BackupTable,
  write: (text: string) => Promise<void>,
  { share = 1, onProgress, signal }: BackupOptions,
): Promise<number> {
  const texts = columns.map(column => `"${column}"::text as "${column}"`).join(', ')
  // By the table's own columns: a bare name would mean the text beside it, and 10 would come before 2.
  const order = key.map(column => `t."${column}"`).join(', ')
  await tx.unsafe(`declare rows no scroll cursor for select ${texts} from "${name}" t order by ${order}`)
  const check = name === 'entry' ? chainOf() : null
  let count = 0
  for (;;) {
    const from = performance.now()
    const rows = await tx.unsafe<Record<string, string | null>[]>(`fetch ${BLOCK} from rows`)
    let text = ''
    for (const row of rows) {
      check?.(row)
      text += `${JSON.stringify([name, ...Object.values(row)])}\n`
    }
    if (text !== '') await write(text)
    count += rows.length
    onProgress?.(rows.length)
    signal?.throwIfAborted()
    if (rows.length < BLOCK) break
    if (share < 1) await sleep((performance.now() - from) * (1 / share - 1))
  }
  await tx`close rows`
  return count
}

/** Follows the chain of each day as its entries come by. */
function chainOf(): (row: Record<string, string | null>) => void {
  let day: string | null = null
  let position = 0
  let hash = START
  return row => {
    if (row.day !== day) {
      day = row.day!
      position = 0
      hash = START
    }
    position += 1
    hash = chainHash(hash, row.text!)
    if (row.position !== String(position) || row.hash !== hash)
      throw new BackupRefused(
        `The log of ${day} is damaged at entry ${position}: nothing was written, the backups before it stand. Look at it with: npm run sunup -- log verify ${day}`,
      )
  }
}

/** The new name is on the disk too. Not every system opens folders. */
async function settleFolder(folder: string): Promise<void> {
  const handle = await open(folder).catch(() => null)
  await handle?.sync().catch(() => {})
  await handle?.close()
}

function inOneLine(file: string, error: unknown): unknown {
  if (error instanceof BackupRefused || !(error instanceof Error)) return error
  const { code, syscall } = error as NodeJS.ErrnoException
  if (code === '42703' || code === '42P01')
    return new BackupRefused(
      'The database is of another version of Sunup: use the sunup of the server that runs on it.',
    )
  if (isConnectionLost(error)) return new BackupRefused('The database went away: nothing was written.')
  if (code === undefined || syscall === undefined) return error
  const why =
    code === 'ENOSPC' || code === 'EDQUOT' || code === 'EFBIG'
      ? 'the disk is full'
      : code === 'ENOENT' || code === 'ENOTDIR'
        ? `there is no folder ${dirname(file)}`
        : code
  return new BackupRefused(`${file} can't be written (${why}): nothing was kept.`)
}
