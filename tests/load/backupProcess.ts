import { writeBackup } from '../../db/backup.ts'
import { connect } from '../../db/connect.ts'
import { restoreBackup } from '../../db/restore.ts'

/** One backup or one restore in a process of its own, so that its peak of memory is known. */
export type BackupOrder = { backup: string; file: string } | { restore: string; file: string }
export type BackupResult = { seconds: number; peakRss: number; bytes: number }

process.on('message', (order: BackupOrder) => {
  void run(order).then(
    result => process.send?.({ result }),
    error => process.send?.({ error: String(error?.stack ?? error) }),
  )
})

async function run(order: BackupOrder): Promise<BackupResult> {
  const from = performance.now()
  let bytes = 0
  if ('backup' in order) {
    const sql = connect(order.backup, { max: 2 })
    bytes = (await writeBackup(sql, order.file, { madeAt: Date.now(), replace: true })).bytes
    await sql.end({ timeout: 1 })
  } else await restoreBackup(order.restore, order.file)
  // In kilobytes, of the whole life of the process.
  const peakRss = process.resourceUsage().maxRSS * 1_024
  return { seconds: (performance.now() - from) / 1_000, peakRss, bytes }
}
