import { restoreBackup } from '../../db/restore.ts'
import { progressTo } from '../progress.ts'
import type { Settings } from '../settings.ts'
import { openForRestore } from '../storage.ts'
import { everySoOften } from './everySoOften.ts'

/** `sunup restore FILE`: into an empty system only. What it prints of each day is what `log verify` prints of it. */
export async function restore(
  settings: Settings,
  file: string,
  out: (line: string) => void,
): Promise<number> {
  const database = await openForRestore(settings, progressTo(process.stderr))
  try {
    const tell = everySoOften(rows => `${rows.toLocaleString('en-US')} rows are read …`)
    const { days, madeAt } = await restoreBackup(database.url, file, tell)
    for (const { day, position, hash } of days)
      out(`${day}: ${position} entries, unaltered; head ${position} ${hash}`)
    out(
      `This is how it stood at ${madeAt}. What devices said since, they send again; commands given since are lost.`,
    )
    out('Nobody is signed in. Passwords, device keys and API tokens are good: npm start goes on.')
    return 0
  } finally {
    await database.stop()
  }
}
