import { createServer, type Server as HttpServer } from 'node:http'
import { createServer as createTlsServer } from 'node:https'
import type { AddressInfo } from 'node:net'
import { Server } from 'socket.io'
import { openAccessStore } from '../db/accessStore.ts'
import type { Sql } from '../db/connect.ts'
import { openDayLog } from '../db/dayLog.ts'
import { type DayRecord, type Days, openDays } from '../db/days.ts'
import type { Device, Person } from './access/access.ts'
import { makeAccess, type RunningAccess } from './access/makeAccess.ts'
import { placeAccess } from './access/place.ts'
import { type CommandRunner, createCommandRunner } from './commands/run.ts'
import type { DayLog } from './domain/log/dayLog.ts'
import { identify, originAllowed } from './http/caller.ts'
import { createHttp } from './http/createHttp.ts'
import { dayRoutes } from './http/dayRoutes.ts'
import { deviceRoutes } from './http/deviceRoutes.ts'
import { serverOptions } from './http/limits.ts'
import { makeMetrics } from './http/metrics.ts'
import { returnRoutes } from './http/returnRoutes.ts'
import { specRoutes } from './http/specRoutes.ts'
import { createIntake } from './intake/intake.ts'
import { createRateLimiter } from './intake/rate.ts'
import { type BoardHub, linkBoards } from './live/boards.ts'
import { type DayClock, STILL } from './live/clock.ts'
import { devicePlanOf } from './live/devicePlan.ts'
import { type DeviceLink, linkDevices } from './live/deviceSockets.ts'
import { systemEntry } from './live/evaluator.ts'
import { type LiveDay, startLiveDay } from './live/liveDay.ts'
import type { Log } from './log.ts'
import { liveMetrics } from './metrics.ts'
import { type Pages, preparePages } from './pages.ts'
import type { Settings } from './settings.ts'
import { readCertificate } from './tls.ts'

/** The house put together: one database, its log, access, the running days, sockets, HTTP and the pages. */
export type Sunup = {
  log: DayLog
  access: RunningAccess
  days: Days
  running: ReadonlyMap<string, LiveDay>
  /** Catches up with a day's log and runs it. */
  startDay(record: DayRecord, clock: DayClock): Promise<LiveDay>
  listen(port: number, host: string): Promise<number>
  /** Takes no more, tells everybody to come back, writes what is still to be written. Loses nothing that was acknowledged. */
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
}

/** Of what the specifications describe. */
const VERSION = '0.2.0'
/** A batch and its frame; a longer message closes the socket. */
const MESSAGE_BYTES = 300 * 1024
/** A heartbeat period is 5 s at least; ten times that is a device out of hand. */
const HEARTBEATS = { perSecond: 2, burst: 60 }
const SWEEP_MS = 60_000

export async function composeSunup({
  sql,
  settings,
  logger,
  wall,
  pagesFolder,
  onAssertion,
}: ComposeDeps): Promise<Sunup> {
  const days = openDays(sql)
  const running = new Map<string, LiveDay>()
  const clocks = new Map<string, DayClock>()
  const onTrouble = (error: unknown) => logger.warn({ err: error }, 'trouble, will be tried again')
  const log = openDayLog(sql, { now: day => clocks.get(day)?.now() ?? wall(), onError: onTrouble })
  const access = makeAccess({ store: openAccessStore(sql), now: wall, enrolRate: settings.enrolRate })
  placeAccess(access)

  const people = new Map<string, string>()
  let peopleAtDesk: Record<string, string> = {}
  async function learnPeople() {
    for (const person of await access.people()) people.set(person.id, person.name)
    const next = Object.fromEntries(people)
    if (JSON.stringify(next) !== JSON.stringify(peopleAtDesk)) peopleAtDesk = next
  }
  await learnPeople()
  const nameOf = (person: string) => people.get(person) ?? 'somebody'

  const dayOf = (day: string) => running.get(day) ?? null
  const metrics = makeMetrics()
  const figures = liveMetrics(metrics.registry, {
    running,
    boards: () => hub.connected(),
    devices: () => link.connected(),
  })
  const intake = createIntake({
    log,
    dayOf,
    reportRate: createRateLimiter(settings.deviceRate.perSecond, settings.deviceRate.burst),
    heartbeatRate: createRateLimiter(
      Math.max(HEARTBEATS.perSecond, settings.deviceRate.perSecond),
      Math.max(HEARTBEATS.burst, settings.deviceRate.burst),
    ),
    wall,
    onRefused: figures.refused,
    onTrouble,
  })
  const runCommand: CommandRunner = createCommandRunner({ log, access, onTrouble })
  const command = async (dayId: string, person: Person, request: unknown) => {
    if (!people.has(person.id)) await learnPeople()
    const day = dayOf(dayId)
    return day
      ? runCommand(day, person, request)
      : {
          ok: false as const,
          refusal: { reason: 'invalid' as const, message: 'there is no such running day' },
        }
  }

  async function enrolled(device: Device) {
    if (!running.has(device.day)) return
    await log.decide(device.day, now => ({
      entries: [systemEntry('DeviceEnrolled', now, { device: device.id }, device.precinct)],
      result: null,
    }))
  }

  let pages: Pages | null = null
  let caughtUp = false
  const devicePlan = (device: Device) => {
    const day = dayOf(device.day)
    const precinct = day?.state().precincts.get(device.precinct)
    return day && precinct ? devicePlanOf(precinct, day.index, day.day) : null
  }
  const listener = createHttp({
    access,
    routes: [
      ...specRoutes(VERSION),
      ...deviceRoutes({ intake, devicePlan }),
      ...returnRoutes({ dayOf, nameOf }),
      ...dayRoutes({
        log,
        dayOf,
        days: () =>
          [...running.values()].map(d => ({
            id: d.day,
            county: d.plan.county,
            name: d.plan.name,
            kind: d.plan.kind,
            date: d.plan.date,
            running: !d.closed(),
          })),
        nameOf,
        devices: day => access.devicesOf(day),
        refused: (day, limit) => days.refused(day, limit),
        command,
      }),
    ],
    pages: async (req, res) => {
      if (pages) return pages.handle(req, res)
      res.statusCode = 404
      res.end('no pages here')
    },
    ready: () => (caughtUp ? { ready: true } : { ready: false, why: 'catching up with the log' }),
    enrolled,
    metrics,
    log: logger,
    now: wall,
    publicUrl: settings.publicUrl,
    tls: settings.tls !== null,
    trustedProxies: settings.trustedProxies,
  })
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
    identify: async socket => {
      const token: unknown = socket.handshake.auth.token
      if (typeof token === 'string') return access.personOfToken(token)
      if (!originAllowed(socket.handshake.headers, settings.publicUrl)) return null
      const caller = await identify(access, socket.handshake.headers, { device: false, person: true })
      return caller && 'person' in caller ? caller.person : null
    },
    dayOf,
    command,
    onTrouble,
    onPatch: figures.patched,
  })
  const link: DeviceLink = linkDevices(io, {
    access,
    intake,
    dayOf: day => {
      const live = dayOf(day)
      if (!live) return null
      return {
        now: live.now,
        speed: live.speed,
        devicePlan: code => {
          const precinct = live.state().precincts.get(code)
          return precinct ? devicePlanOf(precinct, live.index, day) : null
        },
      }
    },
    onTrouble,
  })
  const sweep = setInterval(() => {
    access.sweep().catch(onTrouble)
    learnPeople().catch(onTrouble)
  }, SWEEP_MS)

  async function startDay(record: DayRecord, clock: DayClock): Promise<LiveDay> {
    clocks.set(record.id, clock)
    clock.onSpeed(() => {
      link.sendHeard(record.id)
      hub.changed(record.id)
    })
    const plan = await days.plan(record.planHash)
    const live: LiveDay = await startLiveDay({
      day: record.id,
      plan,
      log,
      clock,
      nameOf,
      peopleAtDesk: () => peopleAtDesk,
      wall,
      // Half a minute of the day at most between two looks, however fast a practice day runs; one that waits, waits for us.
      tickMs: () => (clock.speed() <= STILL ? 10 : Math.min(250, Math.max(10, 30_000 / clock.speed()))),
      onChange: () => {
        hub.changed(record.id)
        for (const precinct of running.get(record.id)?.takeTold() ?? []) link.sendPlan(record.id, precinct)
      },
      onTrouble,
      onAssertion,
      onTick: figures.ticked,
    })
    running.set(record.id, live)
    return live
  }

  return {
    log,
    access,
    days,
    running,
    startDay,
    listen: async (port, host) => {
      if (pagesFolder) pages = await preparePages(pagesFolder, host, port, http)
      await new Promise<void>((resolve, reject) => {
        http.once('error', reject)
        http.listen(port, host, () => {
          http.off('error', reject)
          resolve()
        })
      })
      caughtUp = true
      return (http.address() as AddressInfo).port
    },
    stop: async () => {
      clearInterval(sweep)
      link.close()
      hub.close()
      // Requests that are answered already keep nobody; one that trickles in is cut off.
      const cut = setTimeout(() => http.closeAllConnections(), 2_000)
      await new Promise<void>(resolve => void io.close(() => resolve()))
      clearTimeout(cut)
      for (const live of running.values()) {
        await live.stop()
        if (live.plan.kind === 'practice')
          await days.saveClock(live.day, live.now(), live.speed()).catch(onTrouble)
      }
      await log.close()
      if (pages) await pages.close().catch(onTrouble)
      http.closeAllConnections()
      await sql.end({ timeout: 5 })
    },
  }
}
