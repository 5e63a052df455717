import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { connect } from '../../db/connect.ts'
import { openDayLog } from '../../db/dayLog.ts'
import { openDays } from '../../db/days.ts'
import { planHash } from '../../server/cli/planFiles.ts'
import { keepDay } from '../../server/openDay.ts'
import { line } from '../server/dayLogTools.ts'
import { aPlan } from '../support/aPlan.ts'
import type { BackupOrder, BackupResult } from './backupProcess.ts'
import { ask, end, type Figure, figure, freshBenchDatabase, startProcess } from './figure.ts'
import type { LoadResult } from './loadProcess.ts'
import type { Serving } from './serverProcess.ts'

const ENTRIES = 500_000
const SOURCES = 40
const MB = 1_024 * 1_024

/**
 * Entries a second that a backup writes and a restore takes in, and the peak of memory of each beside that of a log
 * a tenth as long: it must not grow with the log.
 */
export async function backup(url: string): Promise<Figure[]> {
  const folder = mkdtempSync(join(tmpdir(), 'sunup-bench-backup-'))
  try {
    const small = await both(url, ENTRIES / 10, join(folder, 'small'))
    const large = await both(url, ENTRIES, join(folder, 'large'))
    return [
      figure('backup', ENTRIES / large.backup.seconds, 'entries/s'),
      figure('backupBytes', large.backup.bytes / ENTRIES, 'bytes/entry'),
      figure('backupRss', large.backup.peakRss / MB, 'MB', small.backup.peakRss / MB),
      figure('restore', ENTRIES / large.restore.seconds, 'entries/s'),
      figure('restoreRss', large.restore.peakRss / MB, 'MB', small.restore.peakRss / MB),
    ]
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

async function both(url: string, entries: number, file: string) {
  const from = await freshBenchDatabase(url)
  await fill(from, entries)
  return {
    backup: await alone({ backup: from, file }),
    restore: await alone({ restore: await freshBenchDatabase(url, false), file }),
  }
}

async function alone(order: BackupOrder): Promise<BackupResult> {
  const child = startProcess('backupProcess.ts')
  try {
    return await ask<BackupResult>(child, order, 'result')
  } finally {
    await end(child)
  }
}

async function fill(url: string, entries: number): Promise<void> {
  const sql = connect(url, { max: 4 })
  const log = openDayLog(sql, { now: Date.now })
  const plan = aPlan()
  const { id } = await keepDay(openDays(sql), plan, planHash(plan), Date.now(), 1)
  const each = entries / SOURCES
  await Promise.all(
    Array.from({ length: SOURCES }, async (_, i) => {
      for (let at = 0; at < each; at += 250)
        await log.report(
          id,
          `device:${i}`,
          Array.from({ length: 250 }, (_, n) => line(`device:${i}`, at + n + 1)),
        )
    }),
  )
  await log.close()
  await sql.end({ timeout: 1 })
}

const SOCKETS = 200
const WINDOW = 8
const SECONDS = 8

/** Facts acknowledged a second while one automatic backup follows another, beside the same server without any. */
export async function intakeBesideBackup(url: string): Promise<Figure[]> {
  const folder = mkdtempSync(join(tmpdir(), 'sunup-bench-copies-'))
  const server = startProcess('serverProcess.ts')
  const load = startProcess('loadProcess.ts')
  try {
    const serving = await ask<Serving>(
      server,
      { url: await freshBenchDatabase(url), precincts: SOCKETS, devices: SOCKETS, copiesTo: folder },
      'serving',
    )
    const { port, keys, tabulators } = serving
    const order = { what: 'reports', port, keys, tabulators, window: WINDOW }
    await ask<LoadResult>(load, { ...order, seconds: 3 }, 'result')
    const without = await ask<LoadResult>(load, { ...order, seconds: SECONDS }, 'result')
    await ask(server, { copying: true }, 'copying')
    const beside = await ask<LoadResult>(load, { ...order, seconds: SECONDS }, 'result')
    const copies = await ask<number>(server, { copying: false }, 'copies')
    if (copies === 0) throw new Error('there was no backup to be beside')
    if (beside.refused + beside.waits > 0) throw new Error(`${beside.waits} were told to wait`)
    return [
      figure('intakeBesideBackup', beside.done / beside.seconds, 'facts/s', without.done / without.seconds),
      figure('backupsMeanwhile', copies, 'backups'),
    ]
  } finally {
    await end(load, server)
    rmSync(folder, { recursive: true, force: true })
  }
}
