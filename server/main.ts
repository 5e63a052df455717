import { createServer } from 'node:net'
import { setTimeout as sleep } from 'node:timers/promises'
import { composeSunup, type Sunup } from './compose.ts'
import { makeLog, outliveReaders } from './log.ts'
import { type Practice, preparePractice, startPractice } from './practice.ts'
import { type Progress, progressTo, Stop } from './progress.ts'
import { type Settings, settingsOfProcess } from './settings.ts'
import { openStorage, type Storage } from './storage.ts'
import { readCertificate } from './tls.ts'
import { checkoutFolder, urlHere } from './where.ts'

/** The composition root: settings → database → house → day → listen. Every trouble of the boot is one clear line. */

const wall = () => Date.now()

async function main() {
  outliveReaders()
  const outcome = settingsOfProcess()
  if (!outcome.ok) {
    for (const line of outcome.lines) process.stderr.write(`${line}\n`)
    process.exit(2)
  }
  const { settings } = outcome
  const progress = progressTo(settings.demo.json ? process.stderr : process.stdout)
  const running = new Running()
  for (const signal of ['SIGINT', 'SIGTERM'] as const)
    process.on(signal, () => {
      if (running.isStopping()) {
        progress('stopped at once, before everything was ended; nothing that was acknowledged is lost')
        process.exit(1)
      }
      progress('stopping …')
      running.stop().then(
        () => process.exit(0),
        error => {
          process.stderr.write(`${oneLine(error)}\n`)
          process.exit(1)
        },
      )
    })
  try {
    await run(settings, progress, running)
  } catch (error) {
    // What was under way when the stop was asked for fails because of it.
    if (running.isStopping()) return
    process.stderr.write(`${oneLine(error)}\n`)
    await running.stop().catch(() => {})
    process.exit(1)
  }
}

/** A step of the boot that takes longer hangs: a new database is made in a few seconds. */
const BOOT_STEP_MS = 30_000

/**
 * What was started, in order: a stop at any moment of the boot waits for the step under way, then ends all of it.
 * What one leaves undone is told when the others have ended too.
 */
class Running {
  readonly #opened: Array<() => Promise<void>> = []
  #opening: Promise<unknown> = Promise.resolve()
  #stopping: Promise<void> | null = null

  isStopping(): boolean {
    return this.#stopping !== null
  }

  async open<T extends { stop(): Promise<void> }>(make: () => Promise<T>): Promise<T> {
    if (this.#stopping) throw new Stop('stopped')
    const making = make()
    const kept = making.then(thing => void this.#opened.push(() => thing.stop()))
    this.#opening = kept.catch(() => {})
    await kept
    return making
  }

  stop(): Promise<void> {
    this.#stopping ??= (async () => {
      await Promise.race([this.#opening, sleep(BOOT_STEP_MS, null, { ref: false })])
      const failed: unknown[] = []
      for (const close of this.#opened.reverse()) await close().catch(error => void failed.push(error))
      if (failed.length > 0) throw failed[0]
    })()
    return this.#stopping
  }
}

async function run(settings: Settings, progress: Progress, running: Running) {
  await portIsFree(settings.port, settings.host)
  if (settings.tls) readCertificate(settings.tls)
  const storage: Storage = await running.open(() => openStorage(settings, progress))
  const logger = makeLog(settings.logLevel)
  const sunup = await running.open(() =>
    composeSunup({
      sql: storage.sql,
      settings,
      logger,
      wall,
      pagesFolder: checkoutFolder(),
      backups: settings.backups,
      keptFolder: settings.dataFolder,
      onAssertion: error => {
        logger.fatal(
          { err: error },
          'the log can’t be folded: stopping; nothing that was acknowledged is lost',
        )
        process.exit(1)
      },
    }),
  )
  if (settings.mode === 'demo') {
    const prepared = await preparePractice(sunup, settings)
    const url = await listen(sunup, settings)
    const practice = await startPractice(sunup, settings, prepared, url, progress)
    say(practice, url, settings, progress)
    return
  }
  const resumed = await sunup.keeper.resume(settings.day, progress)
  if (!resumed.ok) throw new Stop(resumed.problems.map(p => p.message).join('; '))
  const url = await listen(sunup, settings)
  progress(`Sunup is at ${settings.publicUrl ?? url}`)
  if (sunup.running.size === 0)
    progress('No election day is open yet: an administrator opens one on the setup page.')
  if ((await sunup.access.accounts()).some(one => one.role === 'admin' && one.is !== 'off')) return
  progress(
    'Nobody can set up people yet: npm run sunup -- people add NAME --email E --role admin prints the link of the first administrator.',
  )
}

async function listen(sunup: Sunup, settings: Settings): Promise<string> {
  const port = await sunup.listen(settings.port, settings.host).catch(error => {
    throw error.syscall === 'listen' ? cannotListen(error, settings.port, settings.host) : error
  })
  return urlHere(settings.host, port, settings.tls !== null)
}

function say(practice: Practice, url: string, settings: Settings, progress: Progress) {
  const { links, day, token, deviceKeys } = practice
  const precinct = `${url}/precinct?code=${practice.precinctCode}`
  if (settings.demo.json) {
    process.stdout.write(`${JSON.stringify({ url, day, ...links, precinct, token, deviceKeys })}\n`)
    return
  }
  progress(
    [
      '',
      `Ellery County's practice day is running at ${url} (all of it invented; ${settings.demo.speed} times as fast as a real day)`,
      '',
      `  the desk             ${links.desk}`,
      `  a supervisor         ${links.supervisor}`,
      `  a rover              ${links.rover}`,
      `  a receiving station  ${links.receiving}`,
      `  the administrator    ${links.admin}`,
      `  a precinct           ${precinct}`,
      '',
      'Each link signs in once. Ctrl-C stops; the next start goes on with the same day.',
    ].join('\n'),
  )
}

/** Looked at before anything is started, so that a second start in the same minute fails in one line. */
function portIsFree(port: number, host: string): Promise<void> {
  return new Promise((resolve, reject) => {
    const probe = createServer()
    probe.once('error', error => reject(cannotListen(error, port, host)))
    probe.listen(port, host, () => probe.close(() => resolve()))
  })
}

function cannotListen(error: NodeJS.ErrnoException, port: number, host: string): Stop {
  if (error.code === 'EADDRINUSE')
    return new Stop(`Port ${port} is in use: stop what is using it, or set PORT to another.`)
  if (error.code === 'EACCES')
    return new Stop(`Port ${port} is not allowed for this user: set PORT to one above 1023.`)
  return new Stop(`Can't listen on ${host}:${port}: ${error.message}`)
}

function oneLine(error: unknown): string {
  if (error instanceof Stop) return error.message
  if (error instanceof Error && ['EmbeddedRefused', 'DatabaseRefused', 'LogDamaged'].includes(error.name))
    return `${error.message[0]?.toUpperCase() ?? ''}${error.message.slice(1)}`
  return error instanceof Error ? (error.stack ?? error.message) : String(error)
}

await main()
