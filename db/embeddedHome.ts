import { randomBytes } from 'node:crypto'
import {
  chmodSync,
  chownSync,
  existsSync,
  mkdirSync,
  readFileSync,
  realpathSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { dirname, join } from 'node:path'

/** The embedded database can't be started. The message is one line that says why and what to do. */
export class EmbeddedRefused extends Error {
  override readonly name = 'EmbeddedRefused'
}

/** The user that the database runs as. */
export type Runner = { uid: number; gid: number; name: string }

/** Where root puts what its unprivileged user could not reach. */
const ELSEWHERE = '/var/lib/sunup'

/**
 * Postgres refuses to run as root: root hands it to whoever owns the cluster, else to `nobody` (it needs an
 * entry in the list of users, which every system has for that one). null: we are not root, it runs as we do.
 */
function runnerFor(cluster: string): Runner | null {
  if (process.geteuid?.() !== 0) return null
  const users = readFileSync('/etc/passwd', 'utf8')
    .split('\n')
    .map(line => line.split(':'))
    .filter(fields => fields.length >= 4)
    .map(([name, , uid, gid]) => ({ name: name!, uid: Number(uid), gid: Number(gid) }))
    .filter(user => user.uid !== 0)
  const owner = existsSync(cluster) ? statSync(cluster).uid : 0
  const runner =
    users.find(user => user.uid === owner && owner !== 0) ??
    users.find(user => user.name === 'nobody') ??
    users[0]
  if (!runner)
    throw new EmbeddedRefused(
      'the embedded database refuses to run as root and this system has no other user: add one, or set DATABASE_URL',
    )
  return runner
}

/** Whether a user may walk down to this path (not: what it may do there). Looks at modes; ACLs are not seen. */
export function canReach(path: string, runner: Runner | null): boolean {
  if (!runner) return true
  for (let folder = dirname(realpathSync(path)); ; folder = dirname(folder)) {
    if (!allows(folder, runner, 1)) return false
    if (folder === dirname(folder)) return true
  }
}

/** `wanted`: 4 read, 2 write, 1 walk through or execute. */
export function allows(path: string, runner: Runner, wanted: number): boolean {
  const { mode, uid, gid } = statSync(path)
  const shift = uid === runner.uid ? 6 : gid === runner.gid ? 3 : 0
  return ((mode >> shift) & wanted) === wanted
}

/**
 * The folder that holds the cluster, mode 0700 and the runner's own. It is `dir` itself; only where root's
 * unprivileged user can't walk there (a closed home of root) it is a folder of its own under /var/lib/sunup,
 * whose path is written into `dir`: who deletes `dir` starts anew, as everywhere.
 */
export function homeFor(
  dir: string,
  onProgress: (line: string) => void,
): { home: string; runner: Runner | null } {
  makeFolder(dir)
  const pointer = join(dir, 'elsewhere')
  let home = existsSync(pointer) ? readFileSync(pointer, 'utf8').trim() : realpathSync(dir)
  let runner = runnerFor(join(home, 'cluster'))
  if (home === realpathSync(dir) && !canReach(home, runner)) {
    home = join(ELSEWHERE, randomBytes(6).toString('hex'))
    makeFolder(home)
    runner = runnerFor(join(home, 'cluster'))
    writeFileSync(pointer, `${home}\n`)
  }
  if (home !== realpathSync(dir)) {
    makeFolder(home)
    onProgress(`the database's files are in ${home}: user ${runner?.name} can't reach ${dir}`)
  }
  if (runner) chownSync(home, runner.uid, runner.gid)
  else if (process.geteuid && statSync(home).uid !== process.geteuid())
    throw new EmbeddedRefused(
      `${home} belongs to another user (uid ${statSync(home).uid}): start Sunup as that user or as root, or choose another folder`,
    )
  chmodSync(home, 0o700)
  return { home, runner }
}

function makeFolder(path: string): void {
  try {
    makeEach(path)
    const probe = join(path, '.writable')
    writeFileSync(probe, '')
    rmSync(probe)
  } catch (error) {
    throw new EmbeddedRefused(
      `can't write to ${path} (${(error as NodeJS.ErrnoException).code}): choose a folder that Sunup may write to`,
    )
  }
}

/** Folder by folder: Node's own `recursive` never returns where the system says of a parent that isn't there (/proc). */
function makeEach(path: string): void {
  if (existsSync(path)) return
  makeEach(dirname(path))
  mkdirSync(path)
}
