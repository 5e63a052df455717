import { writeBackup } from '../../db/backup.ts'
import type { Storage } from '../storage.ts'
import { everySoOften } from './everySoOften.ts'

/** `sunup backup FILE`: the whole system as one file, also beside a running server. */
export async function backup({ sql }: Storage, file: string, replace: boolean, out: (line: string) => void) {
  const tell = everySoOften(rows => `${rows.toLocaleString('en-US')} rows are written …`)
  const made = await writeBackup(sql, file, { madeAt: Date.now(), replace, onProgress: tell })
  for (const { day, position, hash } of made.days)
    out(`${day}: ${position} entries; head ${position} ${hash}`)
  out(
    `${made.file}: ${made.bytes.toLocaleString('en-US')} bytes. It holds people’s names: keep it as you keep the database.`,
  )
  return 0
}
