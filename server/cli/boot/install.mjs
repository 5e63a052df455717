import { createHash } from 'node:crypto'
import { readFileSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { root, say, step } from './step.mjs'

const lockfile = join(root, 'package-lock.json')
/** Goes away with node_modules, so it can't claim what isn't there. */
const stamp = join(root, 'node_modules', '.sunup-installed')
/** npm writes this one at the end of every install, also of one that wasn't ours. */
const npmsOwn = join(root, 'node_modules', '.package-lock.json')

/** Installs the packages of the lockfile where they are missing or of another lockfile. Ends the process where that fails. */
export async function install() {
  const wanted = createHash('sha256').update(readFileSync(lockfile)).digest('hex')
  if (textOf(stamp) === wanted) return
  if (textOf(stamp) === null && changedAt(npmsOwn) >= changedAt(lockfile)) return
  const args = ['ci', '--no-audit', '--no-fund', '--include=dev']
  const npm = process.env.npm_execpath
  const good = npm?.endsWith('.js')
    ? await step('Installing packages', process.execPath, [npm, ...args])
    : await step('Installing packages', 'npm', args)
  if (!good) {
    say('The packages could not be installed: is the registry reachable, and this folder writable?')
    process.exit(1)
  }
  writeFileSync(stamp, wanted)
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
