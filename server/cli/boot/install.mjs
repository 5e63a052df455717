import { createHash } from 'node:crypto'
import { lstatSync, mkdirSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { isBuilt } from './build.mjs'
import { alone } from './lock.mjs'
import { root, say, step } from './step.mjs'
import { hasTools, remedy } from './tools.mjs'

const lockfile = join(root, 'package-lock.json')
const folder = join(root, 'node_modules')
/** Goes away with node_modules, so it can't claim what isn't there. */
const stamp = join(folder, '.sunup-installed')
/** npm writes this one at the end of every install, also of one that wasn't ours. */
const npmsOwn = join(folder, '.package-lock.json')

/**
 * What a start has to do about the packages: `nothing`, `install`, or `refuse`.
 * - `wanted`, `stamp`: hash of the lockfile, and of the one that our last install was for (null: npm did it);
 * - `lockAt`, `npmAt`: when the lockfile and npm's record of what is installed were written, ms (0: not there);
 * - `tools`: whether what building needs is installed;
 * - `built`: whether what this start runs is built, so that it can do without the tools;
 * - `complete`: whether what production needs is installed, in the lockfile's versions.
 */
export function packagesToDo({ wanted, stamp, lockAt, npmAt, tools, built, complete }) {
  if (tools) return stamp === wanted || (stamp === null && npmAt >= lockAt) ? 'nothing' : 'install'
  // Without npm's record it isn't somebody's choice to leave the tools out: an install broke off, or never was.
  if (npmAt === 0 || !built) return 'install'
  return complete ? 'nothing' : 'refuse'
}

/** Whether everything that production needs of a lockfile is in npm's record, in the same versions. */
export function isComplete(lockfile, installed) {
  return Object.entries(lockfile.packages ?? {}).every(
    ([path, { dev, optional, devOptional, version }]) =>
      path === '' || dev || optional || devOptional || installed.packages?.[path]?.version === version,
  )
}

/**
 * Installs the packages of the lockfile where they are missing or of another lockfile, one process at a time on a
 * checkout. Where `parts` are given and are built, an installation without the tools will do. Ends the process
 * where what is needed can't be had.
 */
export async function install(...parts) {
  if (toDo(parts) === 'nothing') return
  mkdirSync(join(root, 'dist'), { recursive: true })
  const good = await alone(
    join(root, 'dist', 'installing'),
    'Another process is installing packages',
    async also => {
      const what = toDo(parts)
      if (what === 'install') return installAll(also)
      if (what === 'refuse')
        say(`The installed packages are not those of package-lock.json. What helps: ${remedy}`)
      return what === 'nothing'
    },
  )
  if (!good) process.exit(1)
}

async function installAll(also) {
  if (isLink(folder)) {
    say('node_modules is a link: installing would empty another checkout’s packages. Delete the link first.')
    return false
  }
  const args = ['ci', '--no-audit', '--no-fund', '--include=dev']
  const npm = process.env.npm_execpath
  const good = npm?.endsWith('.js')
    ? await step('Installing packages', process.execPath, [npm, ...args], {}, also)
    : await step('Installing packages', 'npm', args, {}, also)
  if (good) writeFileSync(stamp, hashOfLockfile())
  else say('The packages could not be installed: is the registry reachable, and this folder writable?')
  return good
}

function toDo(parts) {
  const npmAt = changedAt(npmsOwn)
  const tools = hasTools()
  return packagesToDo({
    wanted: hashOfLockfile(),
    stamp: textOf(stamp),
    lockAt: changedAt(lockfile),
    npmAt,
    tools,
    built: !tools && parts.length > 0 && parts.every(isBuilt),
    complete: !tools && npmAt > 0 && isComplete(read(lockfile), read(npmsOwn)),
  })
}

function hashOfLockfile() {
  return createHash('sha256').update(readFileSync(lockfile)).digest('hex')
}

function read(file) {
  return JSON.parse(readFileSync(file, 'utf8'))
}

function textOf(file) {
  try {
    return readFileSync(file, 'utf8')
  } catch {
    return null
  }
}

function changedAt(file) {
  try {
    return statSync(file).mtimeMs
  } catch {
    return 0
  }
}

function isLink(path) {
  return lstatSync(path, { throwIfNoEntry: false })?.isSymbolicLink() ?? false
}
