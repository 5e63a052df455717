import { mkdir, readdir, rm, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { Counter, Gauge, type Registry } from 'prom-client'
import type { z } from 'zod'
import { stateOf, writeBackup } from '../db/backup.ts'
import { readHeader } from '../db/backupLines.ts'
import type { Sql } from '../db/connect.ts'
import { backupName, madeAtOf, toRemove } from './backupsKept.ts'
import type { Log } from './log.ts'
import type { backups } from './protocol/setup.ts'

type BackupsState = z.output<typeof backups>

export type RunningBackups = {
  state(): BackupsState
  /** Does now what is due every few minutes; one at a time. */
  run(): Promise<void>
  /** Something was made that nobody can say again (a device's key): the next one is made within seconds. */
  soon(): void
  stop(): Promise<void>
}

type Good = { file: string; bytes: number; at: number; state: string | null }

/**
 * Half of the time at most: what reports are taken with, the loop of this process and the database, is free in the
 * other half.
 */
const SHARE = 0.5
/** The first one after a start: when everybody has come back. */
const FIRST_MS = 60_000
/** A morning's enrolments that come one after the other share a copy. */
const SOON_MS = 15_000

/**
 * The running server's own copies: every so many minutes one, unless nothing has changed since the last that is
 * good; old ones go as server/backupsKept.ts says. It never holds up a report, and its failing stops nothing: it is
 * logged, counted, shown to the administrator, and tried again at the next time.
 *
 * @param copies null: switched off
 */
export function startBackups(
  copies: { folder: string; everyMs: number } | null,
  deps: { sql: Sql; wall(): number; logger: Log; registry: Registry; soonMs?: number },
): RunningBackups {
  if (!copies) return noBackups
  const { folder, everyMs } = copies
  const { sql, wall, logger, registry, soonMs = SOON_MS } = deps
  let last: Good | null = null
  /** When it was last seen that the last copy is all there is to have. */
  let goodAt: number | null = null
  let problem: BackupsState['problem'] = null
  let running: Promise<void> | null = null
  const stopping = new AbortController()

  const registers = [registry]
  new Gauge({
    name: 'sunup_backup_age_seconds',
    help: 'Age of what would be restored: since the last backup, or since it was last seen that nothing had changed; absent: none yet',
    registers,
    collect() {
      if (goodAt === null) this.remove()
      else this.set((wall() - goodAt) / 1_000)
    },
  })
  const failed = new Counter({
    name: 'sunup_backups_failed_total',
    help: 'Automatic backups that failed',
    registers,
  })

  /** What a server before us left: not made again where nothing has changed. */
  const begun = (async () => {
    await mkdir(folder, { recursive: true, mode: 0o700 })
    const names = (await readdir(folder)).filter(name => madeAtOf(name) !== null).sort()
    const newest = names.at(-1)
    if (!newest) return
    const file = join(folder, newest)
    const [{ size }, header] = await Promise.all([stat(file), readHeader(file)])
    if (!header) return
    last = { file, bytes: size, at: madeAtOf(newest)!, state: header.state }
    goodAt = last.at
  })().catch(failure)

  function failure(error: unknown) {
    if (stopping.signal.aborted) return
    failed.inc()
    const message = error instanceof Error ? error.message.split('\n')[0]! : 'unknown'
    problem = { at: new Date(wall()).toISOString(), message }
    logger.error({ err: error }, 'the automatic backup failed: the ones before it stand')
  }

  async function once(): Promise<void> {
    await begun
    const at = wall()
    if (last !== null && last.state === (await stateOf(sql.reader))) {
      goodAt = at
      problem = null
      return
    }
    await mkdir(folder, { recursive: true, mode: 0o700 })
    const file = join(folder, backupName(at))
    const made = await writeBackup(sql, file, {
      madeAt: at,
      replace: true,
      share: SHARE,
      signal: stopping.signal,
    })
    last = { file, bytes: made.bytes, at, state: made.state }
    goodAt = at
    problem = null
    logger.debug({ file, bytes: made.bytes, entries: made.rows.entry, ms: wall() - at }, 'backup written')
    for (const name of toRemove(await readdir(folder), at)) await rm(join(folder, name), { force: true })
  }

  const run = () => {
    running ??= once()
      .catch(failure)
      .finally(() => {
        running = null
      })
    return running
  }
  let timer: NodeJS.Timeout
  let dueAt = Number.POSITIVE_INFINITY
  function within(ms: number) {
    if (stopping.signal.aborted || performance.now() + ms >= dueAt) return
    clearTimeout(timer)
    dueAt = performance.now() + ms
    timer = setTimeout(() => {
      dueAt = Number.POSITIVE_INFINITY
      within(everyMs)
      void run()
    }, ms)
  }
  within(Math.min(FIRST_MS, everyMs))

  return {
    run,
    soon: () => within(soonMs),
    state: () => ({
      on: true,
      folder,
      everyMinutes: everyMs / 60_000,
      last: last && { file: last.file, bytes: last.bytes, madeAt: new Date(last.at).toISOString() },
      unchangedAt: goodAt === null ? null : new Date(goodAt).toISOString(),
      problem,
    }),
    stop: async () => {
      stopping.abort()
      clearTimeout(timer)
      await running
    },
  }
}

/** `off` in the settings: only what is made by hand is there. */
const noBackups: RunningBackups = {
  run: async () => {},
  soon: () => {},
  state: () => ({
    on: false,
    folder: null,
    everyMinutes: null,
    last: null,
    unchangedAt: null,
    problem: null,
  }),
  stop: async () => {},
}
