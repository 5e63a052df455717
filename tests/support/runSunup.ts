import { randomUUID } from 'node:crypto'
import { io, type Socket } from 'socket.io-client'
import { connect } from '../../db/connect.ts'
import type { Person } from '../../server/access/access.ts'
import { planHash } from '../../server/cli/planFiles.ts'
import { composeSunup, type Sunup } from '../../server/compose.ts'
import type { Plan } from '../../server/domain/plan/plan.ts'
import { type DayClock, practiceClock } from '../../server/live/clock.ts'
import type { LiveDay } from '../../server/live/liveDay.ts'
import { makeLog } from '../../server/log.ts'
import { keepDay, practiceStart } from '../../server/openDay.ts'
import type { Snapshot, SubscribeAnswer } from '../../server/protocol/board.ts'
import type { CommandAnswer, CommandKind } from '../../server/protocol/command.ts'
import type { HeartbeatAnswer, ReportAnswer } from '../../server/protocol/device.ts'
import { signedIn } from './signedIn.ts'

/** The whole server but its pages, on a free port, over a real database: what tests of the link and the board use. */
export type RunningSunup = {
  sunup: Sunup
  live: LiveDay
  clock: DayClock
  day: string
  port: number
  url: string
  stop(): Promise<void>
}

export type SunupOptions = {
  url: string
  plan: Plan
  speed?: number
  /** Wall clock, for tests that move it. */
  wall?: () => number
  deviceRate?: { perSecond: number; burst: number }
  enrolRate?: { perAddressPerMinute: number; inAllPerMinute: number }
  pagesFolder?: string | null
  /** For what practice days keep; absent: no simulator is started. */
  keptFolder?: string
  port?: number
  startAt?: number
  tls?: { certFile: string; keyFile: string }
  backups?: { folder: string; everyMs: number }
}

/** The server without a day; it listens to nobody yet. */
export function composedSunup(
  options: Omit<SunupOptions, 'plan' | 'speed' | 'port' | 'startAt'>,
): Promise<Sunup> {
  return composeSunup({
    sql: connect(options.url, { max: 8 }),
    settings: {
      tls: options.tls ?? null,
      publicUrl: null,
      trustedProxies: 0,
      deviceRate: options.deviceRate ?? { perSecond: 200, burst: 5_000 },
      enrolRate: options.enrolRate ?? { perAddressPerMinute: 1_000, inAllPerMinute: 1_000 },
    },
    logger: makeLog('silent'),
    wall: options.wall ?? Date.now,
    pagesFolder: options.pagesFolder ?? null,
    keptFolder: options.keptFolder ?? null,
    backups: options.backups ?? null,
    onAssertion: error => {
      throw error
    },
  })
}

export async function runSunup(options: SunupOptions): Promise<RunningSunup> {
  const wall = options.wall ?? Date.now
  const sunup = await composedSunup(options)
  const record = await keepDay(sunup.days, options.plan, planHash(options.plan), wall(), 1)
  const clock = practiceClock(
    wall,
    options.startAt ?? record.clockAt ?? practiceStart(options.plan),
    options.speed ?? 1,
  )
  const live = await sunup.startDay(record, clock)
  await live.begin(record.planHash)
  const port = await sunup.listen(options.port ?? 0, '127.0.0.1')
  return {
    sunup,
    live,
    clock,
    day: record.id,
    port,
    url: `${options.tls ? 'https' : 'http'}://127.0.0.1:${port}`,
    stop: () => sunup.stop(),
  }
}

/** A device enrolled over the public link; its key. */
export async function enrolDevice(running: RunningSunup, precinct: string): Promise<string> {
  const code = await running.sunup.access.issueCode(running.day, precinct)
  const response = await fetch(`${running.url}/api/v1/enrol`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ code, label: 'test tablet' }),
  })
  const answer = (await response.json()) as { key?: string }
  if (!answer.key) throw new Error(`not enrolled: ${JSON.stringify(answer)}`)
  return answer.key
}

export type TestDevice = {
  socket: Socket
  report(reports: unknown[], sentAt?: string): Promise<ReportAnswer>
  /** One report happening now, by the device's own clock. */
  say(number: number, kind: string, body: Record<string, unknown>): Promise<ReportAnswer>
  heartbeat(message: unknown): Promise<HeartbeatAnswer>
  close(): void
}

export async function connectDevice(url: string, key: string): Promise<TestDevice> {
  const socket = io(`${url}/precinct`, {
    auth: { key },
    transports: ['websocket'],
    forceNew: true,
    reconnectionDelay: 50,
    reconnectionDelayMax: 300,
  })
  await new Promise<void>((resolve, reject) => {
    socket.once('connect', () => resolve())
    socket.once('connect_error', reject)
  })
  const report = (reports: unknown[], sentAt = new Date().toISOString()) =>
    socket.timeout(10_000).emitWithAck('report', { sentAt, reports }) as Promise<ReportAnswer>
  return {
    socket,
    report,
    say: (number, kind, body) => {
      const at = new Date().toISOString()
      return report([{ number, at, kind, body }], at)
    },
    heartbeat: message =>
      socket.timeout(10_000).emitWithAck('heartbeat', message) as Promise<HeartbeatAnswer>,
    close: () => socket.disconnect(),
  }
}

export type TestBoard = {
  socket: Socket
  subscribe(cursor?: number, log?: string, hash?: string): Promise<SubscribeAnswer>
  snapshot(): Promise<Snapshot>
  command(kind: CommandKind, body: unknown, id?: string): Promise<CommandAnswer>
  close(): void
}

export const IMRE: Person = { id: 'p-imre', name: 'Imre', role: 'desk' }

/** A person's board, signed in by a bearer token; an administrator's by a session. */
export async function connectBoard(running: RunningSunup, person: Person = IMRE): Promise<TestBoard> {
  const { access } = running.sunup
  const caller =
    person.role === 'admin'
      ? { extraHeaders: await signedIn(access, running.url, person) }
      : { auth: { token: await access.makeToken(person) } }
  const socket = io(`${running.url}/board`, { ...caller, transports: ['websocket'], forceNew: true })
  await new Promise<void>((resolve, reject) => {
    socket.once('connect', () => resolve())
    socket.once('connect_error', reject)
  })
  const subscribe = (cursor?: number, log?: string, hash?: string) =>
    socket
      .timeout(10_000)
      .emitWithAck('subscribe', { day: running.day, cursor, log, hash }) as Promise<SubscribeAnswer>
  return {
    socket,
    subscribe,
    snapshot: async () => {
      const answer = await subscribe()
      if (!answer.ok || !('snapshot' in answer)) throw new Error(`no snapshot: ${JSON.stringify(answer)}`)
      return answer.snapshot
    },
    command: (kind, body, id = randomUUID()) =>
      socket.timeout(10_000).emitWithAck('command', { id, kind, body }) as Promise<CommandAnswer>,
    close: () => socket.disconnect(),
  }
}

/** Waits until a condition holds; fails after `ms` with what was wanted. */
export async function until(
  what: string,
  holds: () => boolean | Promise<boolean>,
  ms = 10_000,
): Promise<void> {
  const end = performance.now() + ms
  while (!(await holds())) {
    if (performance.now() > end) throw new Error(`waited ${ms} ms in vain: ${what}`)
    await new Promise(resolve => setTimeout(resolve, 20))
  }
}
