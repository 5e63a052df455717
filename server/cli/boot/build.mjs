import { createHash } from 'node:crypto'
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterPages } from './afterPages.mjs'
import { alone } from './lock.mjs'
import { root, say, step } from './step.mjs'
import { hasTools, remedy } from './tools.mjs'

const dist = join(root, 'dist')

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
      'server/cli/boot/afterPages.mjs',
      'package-lock.json',
    ],
    made: ['.next/BUILD_ID', '.next/precinctWorker.js'],
    make: makePages,
  },
}

const entries = {
  main: 'server/main.ts',
  sunup: 'server/cli/main.ts',
  simulator: 'seed/simulator/run.ts',
  forecastThread: 'server/live/forecasting/threadWork.ts',
}

/**
 * Builds those of `programs` and `pages` whose sources have changed since they were built. One build at a time on
 * a checkout; a second one waits for the first. False: something could not be built, and it has been said.
 */
export async function build(...wanted) {
  const stale = () => wanted.filter(name => !isFresh(name))
  if (stale().length === 0) return true
  if (!hasTools()) {
    say(
      `The sources have changed since the ${stale().join(' and ')} were built, and what builds them is not installed here. What helps: ${remedy}`,
    )
    return false
  }
  mkdirSync(dist, { recursive: true })
  return alone(join(dist, 'building'), 'Another process is building', async () => {
    for (const name of stale()) {
      const hash = hashOf(parts[name].sources)
      rmSync(stampOf(name), { force: true })
      if (!(await parts[name].make())) return false
      writeFileSync(stampOf(name), hash)
    }
    return true
  })
}

async function makePrograms() {
  try {
    await bundle(
      Object.fromEntries(Object.entries(entries).filter(([, file]) => existsSync(join(root, file)))),
      'dist',
    )
    return true
  } catch (error) {
    say(error.message)
    return false
  }
}

async function makePages() {
  const next = ['node_modules/next/dist/bin/next', 'build']
  const env = { NODE_ENV: 'production', NEXT_TELEMETRY_DISABLED: '1' }
  if (!(await step('Building the pages', process.execPath, next, env))) return false
  try {
    await afterPages()
    return true
  } catch (error) {
    say(error.message)
    return false
  }
}

/** Makes programs of sources (relative to the checkout), each in one file of `outdir`. Fails where one can't be read. */
export async function bundle(entryPoints, outdir) {
  const { build } = await import('esbuild')
  await build({
    absWorkingDir: root,
    entryPoints,
    outdir,
    bundle: true,
    packages: 'external',
    platform: 'node',
    format: 'esm',
    target: 'node20',
    sourcemap: true,
    logLevel: 'silent',
  })
}

/** Whether a part was built at all, from whatever sources. */
export function isBuilt(name) {
  return [...parts[name].made.map(file => join(root, file)), stampOf(name)].every(file => existsSync(file))
}

function isFresh(name) {
  return isBuilt(name) && readFileSync(stampOf(name), 'utf8') === hashOf(parts[name].sources)
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
