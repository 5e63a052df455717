import { createHash } from 'node:crypto'
import { end, FORM, type Header, type HeadOfDay, header, row } from '../server/domain/backup/form.ts'
import { BackupRefused, damaged } from './backupForm.ts'
import { readLines } from './backupLines.ts'
import { backupTables, leftOut } from './backupTables.ts'
import { connect, type Tx } from './connect.ts'
import { chainHash } from './log/dayBatch.ts'
import { verifyDay } from './log/verify.ts'
import { type Migration, migrateWithin, ownMigrations, versionOf } from './migrate.ts'

export type Restored = { madeAt: string; days: HeadOfDay[]; rows: Record<string, number> }

/** Rows inserted by one statement: so many, or so many bytes of text. */
const CHUNK = { rows: 1_000, bytes: 4 * 1024 * 1024 }
const START = '0'.repeat(64)

/**
 * Puts a backup into an empty database, in one pass and one transaction: all of it or nothing. The tables are made
 * as they were when the backup was written, filled, and then brought to this version by the same migrations that a
 * database of that age would run.
 *
 * It ends where each day's chain, recomputed, stands at the position and hash that the backup names, as
 * `log verify` would find it. `url` needs the rights that migrations need.
 *
 * @throws BackupRefused (or DatabaseRefused) with one line for people; then nothing was restored
 */
export async function restoreBackup(
  url: string,
  file: string,
  onProgress: (rows: number) => void = () => {},
  migrations: readonly Migration[] = ownMigrations(),
): Promise<Restored> {
  const sql = connect(url, { max: 1, as: 'owner', name: 'sunup restore' })
  try {
    return await sql.begin(async tx => {
      await tx`set local idle_in_transaction_session_timeout = 0`
      const filling = new Filling(tx, migrations, onProgress)
      await readLines(file, (line, raw) => filling.take(line, raw))
      return await filling.finish(file)
    })
  } catch (error) {
    throw inOneLine(file, error)
  } finally {
    await sql.end({ timeout: 5 })
  }
}

class Filling {
  private header: Header | null = null
  private tables = new Map<string, string>()
  private readonly digest = createHash('sha256')
  private readonly rows: Record<string, number> = {}
  private over = false
  private waiting = { table: '', lines: [] as string[], bytes: 0 }
  private follow: ((values: readonly (string | null)[]) => void) | null = null

  constructor(
    private readonly tx: Tx,
    private readonly migrations: readonly Migration[],
    private readonly onProgress: (rows: number) => void,
  ) {}

  take(line: string, raw: Buffer): Promise<void> | void {
    if (this.over) throw damaged()
    if (this.header === null) {
      this.digest.update(raw)
      return this.begin(line)
    }
    if (line.startsWith('{')) return this.close(line)
    this.digest.update(raw)
    const [table, ...values] = row.safeParse(parsed(line)).data ?? []
    const columns = this.header.tables[table ?? '']
    if (!table || !columns || columns.length !== values.length) throw damaged()
    if (table === 'entry') this.follow?.(values)
    this.rows[table] = (this.rows[table] ?? 0) + 1
    const { waiting } = this
    if (waiting.table === table && waiting.lines.length < CHUNK.rows && waiting.bytes < CHUNK.bytes) {
      waiting.lines.push(line)
      waiting.bytes += raw.length
      return
    }
    this.waiting = { table, lines: [line], bytes: raw.length }
    return this.insert(waiting)
  }

  private async begin(line: string): Promise<void> {
    const said = parsed(line) as Partial<Header> | null
    if (typeof said !== 'object' || said?.sunup !== 'backup')
      throw new BackupRefused('is not a backup of Sunup')
    const known = this.migrations.at(-1)!.number
    if (typeof said.form === 'number' && said.form > FORM)
      throw new BackupRefused(`was written by a newer Sunup (form ${said.form}, this one knows ${FORM})`)
    if (typeof said.schema === 'number' && said.schema > known)
      throw new BackupRefused(
        `was written by a newer Sunup (version ${said.schema}, this one knows ${known})`,
      )
    const { data } = header.safeParse(said)
    if (!data) throw damaged()
    this.header = data
    await this.makeRoom(data.schema)
    for (const [table, columns] of Object.entries(data.tables))
      this.tables.set(table, await this.statementFor(table, columns))
    this.follow = chainOf(data.tables.entry ?? [])
  }

  /** The tables as they were at that version, without a row. */
  private async makeRoom(version: number): Promise<void> {
    const [there] = await this.tx<{ there: boolean }[]>`select to_regclass('migration') is not null as there`
    const now = there?.there ? await versionOf(this.tx) : 0
    if (now > 0) {
      const names = [...backupTables.map(({ name }) => name), ...Object.keys(leftOut)]
      const found = await this.tx<{ name: string }[]>`
        select table_name as name from information_schema.tables
        where table_schema = 'public' and table_name = any(${names}) and table_name <> 'migration'`
      for (const { name } of found)
        if ((await this.tx.unsafe(`select 1 from "${name}" limit 1`)).length > 0)
          throw new BackupRefused(
            'can only be restored into an empty system, and this database holds something already: give it another SUNUP_DATA or DATABASE_URL',
          )
      if (now > version)
        throw new BackupRefused(
          `is of an older version (${version}) than the tables of this database (${now}): give it a database without tables`,
        )
    }
    await migrateWithin(
      this.tx,
      this.migrations.filter(({ number }) => number <= Math.max(now, version)),
    )
  }

  /** Types are asked of the database, so names that it doesn't have end here and none of them gets into a statement. */
  private async statementFor(table: string, columns: readonly string[]): Promise<string> {
    const found = await this.tx<{ name: string; type: string }[]>`
      select attname as name, format_type(atttypid, atttypmod) as type
      from pg_attribute join pg_class on pg_class.oid = attrelid
      where relname = ${table} and relnamespace = 'public'::regnamespace and relkind = 'r'
        and attnum > 0 and not attisdropped`
    const types = new Map(found.map(({ name, type }) => [name, type]))
    if (table in leftOut || columns.some(column => !types.has(column)) || columns.length === 0)
      throw new BackupRefused(`names a table ${table} that this Sunup doesn't have in that form`)
    const values = columns.map((column, i) => `(r->>${i + 1})::${types.get(column)}`)
    return `insert into "${table}" (${columns.map(column => `"${column}"`).join(', ')})
      select ${values.join(', ')} from jsonb_array_elements($1::jsonb) as t(r)`
  }

  private async insert({ table, lines }: { table: string; lines: string[] }): Promise<void> {
    if (lines.length === 0) return
    await this.tx.unsafe(this.tables.get(table)!, [`[${lines.join(',')}]`])
    this.onProgress(lines.length)
  }

  private async close(line: string): Promise<void> {
    const said = end.safeParse(parsed(line)).data?.end
    if (!said || said.sha256 !== this.digest.digest('hex')) throw damaged()
    for (const table of this.tables.keys())
      if ((said.rows[table] ?? 0) !== (this.rows[table] ?? 0)) throw damaged()
    this.over = true
    await this.insert(this.waiting)
  }

  async finish(file: string): Promise<Restored> {
    if (this.header === null || !this.over)
      throw new BackupRefused(`${file} ${damaged().message}: nothing was restored`)
    await migrateWithin(this.tx, this.migrations)
    // The database has not looked at its new rows yet, and would read all of them again for each page of them.
    for (const table of this.tables.keys()) await this.tx.unsafe(`analyze "${table}"`)
    const { days, madeAt } = this.header
    const heads = await this.tx<{ day: string }[]>`select day from head order by day`
    if (heads.map(({ day }) => day).join('\n') !== days.map(({ day }) => day).join('\n'))
      throw new BackupRefused(`${file} has other days than its header says: nothing was restored`)
    for (const { day, position, hash } of days) {
      const found = await verifyDay(this.tx, day)
      if (!found.ok)
        throw new BackupRefused(
          `${file}: the log of ${day} is damaged: ${found.message}: nothing was restored`,
        )
      if (found.head.position !== position || found.head.hash !== hash)
        throw new BackupRefused(
          `${file}: the log of ${day} ends elsewhere than its header says: nothing was restored`,
        )
    }
    return { madeAt, days, rows: this.rows }
  }
}

/** Recomputes the chain while the entries come by, so that an altered one is named and not only noticed. */
function chainOf(columns: readonly string[]): (values: readonly (string | null)[]) => void {
  const [atDay, atPosition, atText, atHash] = ['day', 'position', 'text', 'hash'].map(c => columns.indexOf(c))
  let day: string | null = null
  let position = 0
  let hash = START
  return values => {
    if (values[atDay!] !== day) {
      day = values[atDay!] ?? null
      position = 0
      hash = START
    }
    position += 1
    hash = chainHash(hash, values[atText!] ?? '')
    if (values[atPosition!] !== String(position) || values[atHash!] !== hash)
      throw new BackupRefused(`was altered at entry ${position} of ${day}`)
  }
}

function parsed(line: string): unknown {
  try {
    return JSON.parse(line)
  } catch {
    return null
  }
}

/** What the database says of rows that don't fit together, without the rows. */
function inOneLine(file: string, error: unknown): unknown {
  const code = (error as { code?: unknown }).code
  if (error instanceof BackupRefused || !(error instanceof Error) || typeof code !== 'string') return error
  if (/^2[23]/.test(code))
    return new BackupRefused(`${file} holds rows that don't fit together (${code}): nothing was restored`)
  return error
}
