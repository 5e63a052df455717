import { createHash } from 'node:crypto'
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { root, say, step } from './step.mjs'

const dist = join(root, 'dist')
const lock = join(dist, 'building')

/** What is built from what. A stamp in dist holds the hash of the sources (names and contents) it was built from. */
const parts = {
  programs: {
    sources: ['server', 'db', 'seed', 'package-lock.json'],
    made: ['dist/main.js'],
    make: makePrograms,
  },
  pages: {
    sources: [
      'app',
      'public',
      'server/domain',
      'server/protocol',
      'server/access',
      'next.config.mjs',
      'package-lock.json',
    ],
    made: ['.next/BUILD_ID'],
    make: () =>
      step('Building the pages', process.execPath, ['node_modules/next/dist/bin/next', 'build'], {
        NODE_ENV: 'production',
        NEXT_TELEMETRY_DISABLED: '1',
      }),
  },
}

const entries = { main: 'server/main.ts', sunup: 'server/cli/main.ts', simulator: 'seed/simulator/run.ts' }

/**
 * Builds those of `programs` and `pages` whose sources have changed since they were built. One build at a time on
 * a checkout; a second one waits for the first. False: something could not be built, and it has been said.
 */
export async function build(...wanted) {
  const stale = () => wanted.filter(name => !isFresh(name))
  if (stale().length === 0) return true
  mkdirSync(dist, { recursive: true })
  await takeLock()
  try {
    for (const name of stale()) {
      const hash = hashOf(parts[name].sources)
      rmSync(stampOf(name), { force: true })
      if (!(await parts[name].make())) return false
      writeFileSync(stampOf(name), hash)
    }
    return true
  } finally {
    rmSync(lock, { force: true })
  }
}

async function makePrograms() {
  const { build: bundle } = await import('esbuild')
  try {
    await bundle({
      absWorkingDir: root,
      entryPoints: Object.fromEntries(
        Object.entries(entries).filter(([, file]) => existsSync(join(root, file))),
      ),
      outdir: 'dist',
      bundle: true,
      packages: 'external',
      platform: 'node',
      format: 'esm',
      target: 'node20',
      sourcemap: true,
      logLevel: 'silent',
    })
    return true
  } catch (error) {
    say(error.message)
    return false
  }
}

function isFresh(name) {
  const { sources, made } = parts[name]
  if (!made.every(file => existsSync(join(root, file))) || !existsSync(stampOf(name))) return false
  return readFileSync(stampOf(name), 'utf8') === hashOf(sources)
}

function stampOf(name) {
  return join(dist, `${name}.stamp`)
}

function hashOf(sources) {
  const hash = createHash('sha256')
  for (const file of sources.flatMap(filesOf).sort()) {
    hash
      .update(file)
      .update('\0')
      .update(readFileSync(join(root, file)))
      .update('\0')
  }
  return hash.digest('hex')
}

/** Files of a source, relative to the checkout; none where it doesn't exist. */
function filesOf(source) {
  const path = join(root, source)
  if (!existsSync(path)) return []
  try {
    return readdirSync(path, { withFileTypes: true })
      .filter(entry => !entry.name.startsWith('.'))
      .flatMap(entry =>
        entry.isDirectory() ? filesOf(`${source}/${entry.name}`) : [`${source}/${entry.name}`],
      )
  } catch (error) {
    if (error.code === 'ENOTDIR') return [source]
    throw error
  }
}

async function takeLock() {
  let said = false
  for (;;) {
    try {
      writeFileSync(lock, String(process.pid), { flag: 'wx' })
      return
    } catch (error) {
      if (error.code !== 'EEXIST') throw error
    }
    const holder = Number(readIfThere(lock))
    if (holder > 0 ? !isAlive(holder) : ageOf(lock) > 5_000) rmSync(lock, { force: true })
    else if (!said) {
      said = true
      say('Another process is building; waiting for it …')
    }
    await new Promise(resolve => setTimeout(resolve, 200))
  }
}

function readIfThere(file) {
  try {
    return readFileSync(file, 'utf8')
  } catch {
    return ''
  }
}

/** Milliseconds since a file was written; 0 where it isn't there. */
function ageOf(file) {
  try {
    return Date.now() - statSync(file).mtimeMs
  } catch {
    return 0
  }
}

function isAlive(pid) {
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    return error.code === 'EPERM'
  }
}
