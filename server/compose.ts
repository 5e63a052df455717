import { once } from 'node:events'
import { createServer, type Server as HttpServer } from 'node:http'
import { createServer as createTlsServer } from 'node:https'
import type { AddressInfo } from 'node:net'
import { Server } from 'socket.io'
import { openAccessStore } from '../db/accessStore.ts'
import type { Sql } from '../db/connect.ts'
import { type ClosableLog, openDayLog } from '../db/dayLog.ts'
import { type DayRecord, type Days, openDays } from '../db/days.ts'
import type { Device, Person } from './access/access.ts'
import { makeAccess, type RunningAccess } from './access/makeAccess.ts'
import { placeAccess } from './access/place.ts'
import { type RunningBackups, startBackups } from './backups.ts'
import { type CommandRunner, createCommandRunner } from './commands/run.ts'
import { type DayKeeper, makeDayKeeper } from './dayKeeper.ts'
import type { DayLog } from './domain/log/dayLog.ts'
import { noteEnrolled } from './enrolled.ts'
import { asideRoutes } from './http/asideRoutes.ts'
import { backupRoutes } from './http/backupRoutes.ts'
import { personOfHandshake } from './http/caller.ts'
import { createHttp, type HttpDeps, httpRoutes } from './http/createHttp.ts'
import { custodyRoutes } from './http/custodyRoutes.ts'
import { dayRoutes } from './http/dayRoutes.ts'
import { deviceRoutes } from './http/deviceRoutes.ts'
import { forecastRoutes } from './http/forecastRoutes.ts'
import { serverOptions } from './http/limits.ts'
import { makeMetrics } from './http/metrics.ts'
import { noticeRoutes } from './http/noticeRoutes.ts'
import { returnRoutes } from './http/returnRoutes.ts'
import { setupRoutes } from './http/setupRoutes.ts'
import { specRoutes } from './http/specRoutes.ts'
import { createIntake } from './intake/intake.ts'
import { deviceRates } from './intake/rate.ts'
import { knownNames } from './knownNames.ts'
import { type BoardHub, linkBoards } from './live/boards.ts'
import { type DayClock, STILL } from './live/clock.ts'
import { devicePlanOf } from './live/devicePlan.ts'
import { type DeviceLink, linkDevices } from './live/deviceSockets.ts'
import type { LiveDay } from './live/liveDay.ts'
import type { Log } from './log.ts'
import { liveMetrics, presenceMetrics } from './metrics.ts'
import { openForecaster } from './openForecaster.ts'
import { noPages, type Pages, preparePages } from './pages.ts'
import { composeReview } from './review.ts'
import { makeRunningDays, type RunningDays } from './runningDays.ts'
import type { Settings } from './settings.ts'
import { stopHouse } from './stopHouse.ts'
import { readCertificate } from './tls.ts'
import { tellTrouble } from './trouble.ts'
import { urlHere } from './where.ts'

/** The house put together: one database, its log, access, the running days, sockets, HTTP and the pages. */
export type Sunup = {
  log: DayLog
  access: RunningAccess
  /** Every route of the server. */
  routes: ReturnType<typeof httpRoutes>
  days: Days
  running: ReadonlyMap<string, LiveDay>
  /** Catches up with a day's log and runs it. */
  startDay(record: DayRecord, clock: DayClock): Promise<LiveDay>
  /** The days as their administrator keeps them. */
  keeper: DayKeeper
  backups: RunningBackups
  listen(port: number, host: string): Promise<number>
  /**
   * Takes no more, tells everybody to come back, writes what is still to be written. Loses nothing that was
   * acknowledged. Ends within the stages' times whatever hangs; rejects with one line where it left something.
   */
  stop(): Promise<void>
}

export type ComposeDeps = {
  sql: Sql
  settings: Pick<Settings, 'tls' | 'publicUrl' | 'trustedProxies' | 'deviceRate' | 'enrolRate'>
  logger: Log
  wall(): number
  /** Folder with the built pages; null: none are served (tests of the sockets). */
  pagesFolder: string | null
  /** A fault of this program that it must not go on with: ends the process; a restart folds the log anew. */
  onAssertion(error: unknown): void
  /** Folder for what practice days keep on this machine; null: no simulator is started here. */
  keptFolder?: string | null
  /** Where the running server copies itself to, and how often; null: not. */
  backups?: { folder: string; everyMs: number } | null
}

/** Of what the specifications describe. */
const VERSION = '0.4.0'
/** A batch and its frame; a longer message closes the socket. */
const MESSAGE_BYTES = 300 * 1024
/** What another process ended is noticed by then, and its sockets are closed: 30 s are promised. */
const SWEEP_MS = 10_000

export async function composeSunup({
  sql,
  settings,
  logger,
  wall,
  pagesFolder,
  onAssertion,
  keptFolder = null,
  backups: copies = null,
}: ComposeDeps): Promise<Sunup> {
  const days = openDays(sql)
  const onTrouble = tellTrouble(logger, sql.presence)
  const log: ClosableLog = openDayLog(sql, {
    now: day => live.now(day) ?? wall(),
    onError: onTrouble,
  })
  const access = makeAccess({ store: openAccessStore(sql), now: wall, enrolRate: settings.enrolRate })
  placeAccess(access)
  await access.sweep()

  const names = await knownNames(access)
  const forecaster = openForecaster(logger)

  const live: RunningDays = await makeRunningDays({
    days,
    log: () => log,
    wall,
    house: day => ({
      nameOf: names.of,
      peopleAtDesk: names.all,
      // Half a minute of the day at most between two looks, however fast a practice day runs; one that waits, waits for us.
      tickMs: clock => (clock.speed() <= STILL ? 10 : Math.min(250, Math.max(10, 30_000 / clock.speed()))),
      onChange: () => {
        hub.changed(day)
        const live = running.get(day)
        for (const { to, notice } of live?.notices.takeSent() ?? []) link.sendNotice(day, to, notice)
        for (const owed of live?.takePlansOwed() ?? []) link.sendPlan(day, owed)
      },
      onSpeed: () => {
        link.sendHeard(day)
        hub.changed(day)
      },
      onTrouble,
      onAssertion,
      onTick: figures.ticked,
      forecaster,
      onForecast: figures.forecast,
    }),
    onClosed: day => {
      hub.changed(day)
      link.sayClosed(day)
    },
  })
  const { running, of: dayOf } = live
  const metrics = makeMetrics()
  const figures = liveMetrics(metrics.registry, {
    running,
    boards: () => hub.connected(),
    devices: () => link.connected(),
  })
  presenceMetrics(metrics.registry, sql.presence)
  const intake = createIntake({
    log,
    dayOf,
    isClosed: live.isClosed,
    ...deviceRates(settings.deviceRate),
    wall,
    onRefused: figures.refused,
    onTrouble,
  })
  const runCommand: CommandRunner = createCommandRunner({
    log,
    access,
    asideNamed: days.asideNamed,
    onTrouble,
  })
  const command = async (dayId: string, person: Person, request: unknown) => {
    await names.meet(person)
    const day = await live.reach(dayId)
    return day
      ? runCommand(day, person, request)
      : {
          ok: false as const,
          refusal: { reason: 'invalid' as const, message: 'there is no such running day' },
        }
  }

  async function enrolled(device: Device, replaced: string | null) {
    backups.soon()
    if (running.has(device.day)) await noteEnrolled({ log, dayOf }, device, replaced)
  }
  const known = async (day: string) => (await days.get(day)) !== null

  const keeper = makeDayKeeper({ days, log, access, live, wall, keptFolder, logger })
  const review = composeReview({ days, log, live, people: names.all })
  const backups = startBackups(copies, { sql, wall, logger, registry: metrics.registry })
  let pages: Pages | null = null
  let caughtUp = false
  const devicePlan = (day: LiveDay | null, code: string) => {
    const precinct = day?.state().precincts.get(code)
    return day && precinct ? devicePlanOf(precinct, day.index, day.day, day.notices.ofPrecinct(code)) : null
  }
  const httpDeps: HttpDeps = {
    access,
    routes: [
      ...specRoutes(VERSION),
      ...deviceRoutes({ intake, devicePlan: device => devicePlan(dayOf(device.day), device.precinct) }),
      ...setupRoutes(keeper),
      ...backupRoutes(backups.state),
      ...asideRoutes({ known, open: days.asideOpen }),
      ...returnRoutes({ reach: live.reach, nameOf: names.of }),
      ...custodyRoutes({ reach: live.reach }),
      ...noticeRoutes({ log, reach: live.reach, nameOf: names.of }),
      ...review.routes,
      ...dayRoutes({
        log,
        reach: live.reach,
        until: review.replay.until,
        days: () => keeper.brief(),
        nameOf: names.of,
        devices: day => access.devicesOf(day),
        known,
        refused: (day, limit) => days.refused(day, limit),
        command,
      }),
      ...forecastRoutes({ reach: live.reach, baseAt: review.replay.baseAt, forecaster }),
    ],
    pages: (req, res) => (pages ?? noPages).handle(req, res),
    ready: () =>
      sql.presence.away() !== null
        ? { ready: false, why: 'the database is away' }
        : { ready: caughtUp, why: 'catching up with the log' },
    enrolled,
    metrics,
    log: logger,
    now: wall,
    publicUrl: settings.publicUrl,
    tls: settings.tls !== null,
    trustedProxies: settings.trustedProxies,
  }
  const routes = httpRoutes(httpDeps)
  const listener = createHttp(httpDeps, routes)
  const http: HttpServer = settings.tls
    ? createTlsServer({ ...serverOptions, ...readCertificate(settings.tls) }, listener)
    : createServer(serverOptions, listener)

  const io = new Server(http, {
    destroyUpgrade: false,
    serveClient: false,
    maxHttpBufferSize: MESSAGE_BYTES,
    perMessageDeflate: false,
    pingInterval: 25_000,
    pingTimeout: 20_000,
  })
  const hub: BoardHub = linkBoards(io, {
    access,
    identify: ({ handshake }) => personOfHandshake(access, handshake, settings.publicUrl),
    dayOf,
    reach: live.reach,
    command,
    onTrouble,
    onPatch: figures.patched,
  })
  const link: DeviceLink = linkDevices(io, {
    access,
    intake,
    isClosed: live.isClosed,
    dayOf: day => {
      const linked = running.get(day)
      if (!linked) return null
      return { now: linked.now, speed: linked.speed, devicePlan: code => devicePlan(linked, code) }
    },
    onTrouble,
  })
  const sweep = setInterval(() => {
    access.sweep().catch(onTrouble)
    names.learn().catch(onTrouble)
  }, SWEEP_MS)

  return {
    log,
    access,
    routes,
    days,
    running,
    startDay: live.start,
    keeper,
    backups,
    listen: async (port, host) => {
      if (pagesFolder) pages = await preparePages(pagesFolder, host, port, http)
      await once(http.listen(port, host), 'listening')
      caughtUp = true
      const { port: listened } = http.address() as AddressInfo
      keeper.listening(urlHere(host, listened, settings.tls !== null))
      return listened
    },
    stop: async () => {
      clearInterval(sweep)
      await stopHouse({ forecaster, sql, log, backups, keeper, live, link, hub, io, http, pages, onTrouble })
    },
  }
}
