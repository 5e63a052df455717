import { readFileSync, realpathSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { EmbeddedRefused } from './embeddedHome.ts'
import { lookAt, processesIn, signal, within } from './processes.ts'

/** How long a database may take to end in order (it writes out what is in memory), and then at once. */
const FAST_MS = 30_000
const IMMEDIATE_MS = 5_000
/** What doesn't answer any more hardly ends in order either: it is asked, and not waited for long. */
const SILENT_FAST_MS = 5_000
/** How long a dead process may stand in the list of processes until its parent collects it. */
const ZOMBIE_MS = 10_000

/**
 * Ends a Postgres: connections are cut, what was committed is kept.
 *
 * @param answers whether it answered lately
 * @returns false where it goes on for all that; after 35 s at most, 10 s where it doesn't answer
 */
export async function endPostgres(pid: number, answers = true): Promise<boolean> {
  const gone = () => lookAt(pid)?.zombie !== false
  signal(pid, 'SIGINT')
  if (await within(answers ? FAST_MS : SILENT_FAST_MS, gone)) return true
  signal(pid, 'SIGQUIT')
  return within(IMMEDIATE_MS, gone)
}

/** Lines 1 and 8 of postmaster.pid: who runs the cluster, and whether it takes connections. */
export function readPidFile(cluster: string): { pid: number; status: string } | null {
  try {
    const lines = readFileSync(join(cluster, 'postmaster.pid'), 'utf8').split('\n')
    const pid = Number(lines[0])
    return Number.isInteger(pid) && pid > 0 ? { pid, status: (lines[7] ?? '').trim() } : null
  } catch {
    return null
  }
}

/**
 * A killed server leaves its Postgres running. It is stopped and not adopted: the new one runs with this
 * version's settings and as our own child, so that we learn of its end. A pid file whose process is dead but not
 * collected is waited for; it is removed only when nobody works in the cluster any more.
 */
export async function clearLeftover(cluster: string, onProgress: (line: string) => void): Promise<void> {
  const left = readPidFile(cluster)
  if (!left) return
  const seen = lookAt(left.pid)
  if (seen && !seen.zombie && seen.command.startsWith('postgres')) {
    onProgress('stopping the database that an earlier Sunup left running')
    if (!(await endPostgres(left.pid)))
      throw new EmbeddedRefused(
        `the database process ${left.pid} of an earlier Sunup does not end: stop it, then start again`,
      )
  }
  const folder = realpathSync(cluster)
  if (!(await within(ZOMBIE_MS, () => processesIn(folder).length === 0)))
    throw new EmbeddedRefused(
      `processes ${processesIn(folder).join(', ')} still work in ${cluster}: stop them, then start again`,
    )
  if (lookAt(left.pid)?.zombie) await within(ZOMBIE_MS, () => !lookAt(left.pid)?.zombie)
  const now = lookAt(left.pid)
  // Gone: Postgres removes the file itself. A zombie for ever, or the number given to another program: we do.
  if (now && (now.zombie || !now.command.startsWith('postgres')))
    rmSync(join(cluster, 'postmaster.pid'), { force: true })
}

/**
 * Takes a folder for this process; returns how to give it back. A claim whose process has ended is void.
 *
 * @throws EmbeddedRefused where another living Sunup has it
 */
export async function claim(home: string): Promise<() => void> {
  const file = join(home, 'launcher.json')
  const mine = JSON.stringify({ pid: process.pid, startedAt: lookAt(process.pid)?.startedAt ?? '' })
  for (;;) {
    try {
      writeFileSync(file, mine, { flag: 'wx', mode: 0o600 })
      return () => rmSync(file, { force: true })
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error
    }
    const other = parse(file)
    const seen = other && lookAt(other.pid)
    if (seen && !seen.zombie && seen.startedAt === other.startedAt)
      throw new EmbeddedRefused(
        `another Sunup (process ${other.pid}) is using ${home}: stop it, or choose another folder`,
      )
    rmSync(file, { force: true })
  }
}

function parse(file: string): { pid: number; startedAt: string } | null {
  try {
    return JSON.parse(readFileSync(file, 'utf8')) as { pid: number; startedAt: string }
  } catch {
    return null
  }
}
