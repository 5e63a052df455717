import { createServer } from 'node:net'
import { composeSunup, type Sunup } from './compose.ts'
import { realClock } from './live/clock.ts'
import { makeLog } from './log.ts'
import { type Practice, preparePractice, startPractice } from './practice.ts'
import { type Progress, progressTo, Stop } from './progress.ts'
import { type Settings, settingsOfProcess } from './settings.ts'
import { openStorage, type Storage } from './storage.ts'
import { checkoutFolder } from './where.ts'

/** The composition root: settings → database → house → day → listen. Every trouble of the boot is one clear line. */

const wall = () => Date.now()

async function main() {
  const outcome = settingsOfProcess()
  if (!outcome.ok) {
    for (const line of outcome.lines) process.stderr.write(`${line}\n`)
    process.exit(2)
  }
  const { settings } = outcome
  const progress = progressTo(settings.demo.json ? process.stderr : process.stdout)
  const opened: Array<() => Promise<void>> = []
  let stopping: Promise<void> | null = null
  const stop = () => {
    stopping ??= (async () => {
      for (const close of opened.reverse()) await close()
    })()
    return stopping
  }
  for (const signal of ['SIGINT', 'SIGTERM'] as const)
    process.on(signal, () => {
      if (stopping) process.exit(1)
      progress('stopping …')
      stop().then(
        () => process.exit(0),
        error => {
          process.stderr.write(`${error instanceof Error ? error.message : error}\n`)
          process.exit(1)
        },
      )
    })
  try {
    await run(settings, progress, opened)
  } catch (error) {
    process.stderr.write(`${oneLine(error)}\n`)
    await stop().catch(() => {})
    process.exit(1)
  }
}

async function run(settings: Settings, progress: Progress, opened: Array<() => Promise<void>>) {
  await portIsFree(settings.port, settings.host)
  const storage: Storage = await openStorage(settings, progress)
  opened.push(storage.stop)
  const logger = makeLog(settings.logLevel)
  const sunup = await composeSunup({
    sql: storage.sql,
    settings,
    logger,
    wall,
    pagesFolder: checkoutFolder(),
  })
  opened.push(sunup.stop)
  if (settings.mode === 'demo') {
    const prepared = await preparePractice(sunup, settings, wall)
    const url = await listen(sunup, settings)
    const practice = await startPractice(sunup, settings, prepared, url, progress)
    opened.push(practice.stop)
    say(practice, url, settings, progress)
    return
  }
  const days = (await sunup.days.list()).filter(
    d => d.closedAt === null && (settings.day === null || d.id === settings.day),
  )
  if (settings.day !== null && days.length === 0)
    throw new Stop(`SUNUP_DAY ${settings.day} is not an open day of this database.`)
  for (const record of days) {
    if (record.kind === 'practice') continue
    const live = await sunup.startDay(record, realClock(wall))
    await live.begin(record.planHash)
    progress(`running ${record.id}, entry ${live.cursor()}`)
  }
  const url = await listen(sunup, settings)
  progress(`Sunup is at ${settings.publicUrl ?? url}`)
  if (sunup.running.size === 0)
    progress('No day is open yet: npm run sunup -- plan import DIR, then start again.')
  progress('Sign-in links: npm run sunup -- link NAME --role desk')
}

async function listen(sunup: Sunup, settings: Settings): Promise<string> {
  const port = await sunup.listen(settings.port, settings.host)
  const host = settings.host === '0.0.0.0' || settings.host === '::' ? 'localhost' : settings.host
  return `${settings.tls ? 'https' : 'http'}://${host.includes(':') ? `[${host}]` : host}:${port}`
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
      `  the desk        ${links.desk}`,
      `  a supervisor    ${links.supervisor}`,
      `  a rover         ${links.rover}`,
      `  a precinct      ${precinct}`,
      '',
      'Each link signs in once. Ctrl-C stops; the next start goes on with the same day.',
    ].join('\n'),
  )
}

/** Looked at before anything is started, so that a second start in the same minute fails in one line. */
function portIsFree(port: number, host: string): Promise<void> {
  return new Promise((resolve, reject) => {
    const probe = createServer()
    probe.once('error', (error: NodeJS.ErrnoException) =>
      reject(
        new Stop(
          error.code === 'EADDRINUSE'
            ? `Port ${port} is in use: stop what is using it, or set PORT to another.`
            : error.code === 'EACCES'
              ? `Port ${port} is not allowed for this user: set PORT to one above 1023.`
              : `Can't listen on ${host}:${port}: ${error.message}`,
        ),
      ),
    )
    probe.listen(port, host, () => probe.close(() => resolve()))
  })
}

function oneLine(error: unknown): string {
  if (error instanceof Stop) return error.message
  if (error instanceof Error && ['EmbeddedRefused', 'DatabaseRefused'].includes(error.name))
    return `${error.message[0]?.toUpperCase() ?? ''}${error.message.slice(1)}`
  return error instanceof Error ? (error.stack ?? error.message) : String(error)
}

await main()
