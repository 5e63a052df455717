import { type ChildProcess, spawn } from 'node:child_process'
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { createServer } from 'node:net'
import { join } from 'node:path'
import { build } from 'esbuild'
import { checkoutFolder } from '../../server/where.ts'

/** The server and the `sunup` command as programs of their own, bundled from these sources, as an operator starts them. */
export type Program = {
  child: ChildProcess
  out(): string
  err(): string
  /** The first line of stdout that matches; fails with everything that was said where the program ends before. */
  line(pattern: RegExp, ms?: number): Promise<string>
  ended: Promise<{ code: number | null; signal: string | null }>
  /** SIGTERM; the exit code, and how long it took in milliseconds. */
  stop(): Promise<{ code: number | null; ms: number }>
}

export type Surroundings = Record<string, string>

/** `main.ts demo|start …` on a free port unless `env` says another. Settings of this shell don't reach it. */
export async function startServer(words: string[], env: Surroundings): Promise<Program> {
  return start('main.js', words, { PORT: '0', ...env })
}

/** `sunup …`, run to its end. */
export async function sunup(words: string[], env: Surroundings) {
  const program = await start('sunup.js', words, env)
  const { code } = await program.ended
  return { code, out: program.out(), err: program.err() }
}

/** What runServer.mjs does before it runs the server: console.log to stderr, and the end with whoever started it. */
const asRun = join(checkoutFolder(), 'tests', 'support', 'asRun.mjs')
/** What the pages' framework says at every start. */
const CHATTER = /^✓ Running next\.config\.mjs took \d+ms\n/gm

let bundled: Promise<string> | null = null

/** As server/cli/boot/build.mjs does it, in a folder of this process beside the operator's own. */
async function bundle(): Promise<string> {
  const dist = join(checkoutFolder(), 'dist')
  mkdirSync(dist, { recursive: true })
  for (const name of readdirSync(dist)) {
    const pid = /^tests-(\d+)-/.exec(name)?.[1]
    if (pid && !isAlive(Number(pid))) rmSync(join(dist, name), { recursive: true, force: true })
  }
  const outdir = mkdtempSync(join(dist, `tests-${process.pid}-`))
  process.once('exit', () => rmSync(outdir, { recursive: true, force: true }))
  await build({
    absWorkingDir: checkoutFolder(),
    entryPoints: {
      main: 'server/main.ts',
      sunup: 'server/cli/main.ts',
      simulator: 'seed/simulator/run.ts',
      forecastThread: 'server/live/forecasting/threadWork.ts',
    },
    outdir,
    bundle: true,
    packages: 'external',
    platform: 'node',
    format: 'esm',
    target: 'node20',
    sourcemap: true,
  })
  return outdir
}

async function start(file: string, words: string[], env: Surroundings): Promise<Program> {
  bundled ??= bundle()
  const flags = ['--enable-source-maps', '--import', asRun]
  const child = spawn(process.execPath, [...flags, join(await bundled, file), ...words], {
    cwd: checkoutFolder(),
    env: { PATH: process.env.PATH, HOME: process.env.HOME, NODE_ENV: 'production', ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
  })
  let out = ''
  let err = ''
  let over = false
  child.stdout.on('data', chunk => {
    out += chunk
  })
  child.stderr.on('data', chunk => {
    err += chunk
  })
  const ended = new Promise<{ code: number | null; signal: string | null }>(resolve =>
    child.once('close', (code, signal) => {
      over = true
      resolve({ code, signal })
    }),
  )
  return {
    child,
    out: () => out,
    err: () => err.replace(CHATTER, ''),
    ended,
    line: async (pattern, ms = 60_000) => {
      for (const end = performance.now() + ms; ; await new Promise(resolve => setTimeout(resolve, 20))) {
        const line = out.split('\n').find(l => pattern.test(l))
        if (line !== undefined) return line
        if (over || performance.now() > end)
          throw new Error(`${pattern} was not said ${over ? 'before the end' : 'in time'}:\n${out}\n${err}`)
      }
    },
    stop: async () => {
      const from = performance.now()
      child.kill('SIGTERM')
      const { code } = await ended
      return { code, ms: performance.now() - from }
    },
  }
}

/** The address that a started server printed. */
export async function addressOf(server: Program): Promise<string> {
  return / at (https?:\/\/\S+)/.exec(await server.line(/Sunup is at http/))![1]!
}

/** Process of the embedded Postgres of a data folder; null: none is noted there. */
export function postgresOf(data: string): number | null {
  try {
    return Number(readFileSync(join(data, 'database', 'cluster', 'postmaster.pid'), 'utf8').split('\n')[0])
  } catch {
    return null
  }
}

export function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0)
    return true
  } catch {
    return false
  }
}

export function freePort(): Promise<number> {
  return new Promise(resolve => {
    const probe = createServer().listen(0, '127.0.0.1', () => {
      const { port } = probe.address() as { port: number }
      probe.close(() => resolve(port))
    })
  })
}
