import type { Device } from '../access/access.ts'
import { deviceReplaced, keptAsideEntry } from '../domain/log/aside.ts'
import { problemsOf, readAs } from '../domain/log/check.ts'
import type { DayLogReader, DayLogWriter } from '../domain/log/dayLog.ts'
import { kinds } from '../domain/log/kinds.ts'
import type { Instant } from '../domain/time.ts'
import { fromRfc3339, toRfc3339 } from '../domain/time.ts'
import {
  type HeartbeatAnswer,
  type HeartbeatRequest,
  heartbeatRequest,
  type ReportAnswer,
  reportRequest,
} from '../protocol/device.ts'
import { datedNews, newsOf } from './heartbeatNews.ts'
import { offer, sourceOf } from './offer.ts'
import type { RateLimiter } from './rate.ts'
import { type Sending, skewSeconds } from './times.ts'

/**
 * Reports in: parse → check → one append → acknowledge. Socket and HTTP hand their messages to the same two
 * functions, so schemas and answers are the same. Nothing here throws for what a device sent; trouble of the
 * log is answered with `retryAfter`, which consumes no number.
 */
type RunningDay = {
  now(): Instant
  elapsed(agoMs: number): number
  openedAt(): Instant
  closed(): boolean
  /** An unchanged heartbeat was heard at this instant of the day. */
  heard(precinct: string, at: Instant): void
}

export type IntakeDeps = {
  log: DayLogReader & DayLogWriter
  dayOf(day: string): RunningDay | null
  /** Of a day that doesn't run: whether it is over, or only stopped. */
  isClosed(day: string): boolean
  reportRate: RateLimiter
  heartbeatRate: RateLimiter
  wall(): number
  onRefused?(count: number): void
  onTrouble(error: unknown): void
}

export type Intake = {
  report(device: Device, request: unknown): Promise<ReportAnswer>
  heartbeat(device: Device, request: unknown): Promise<HeartbeatAnswer>
  /** Forgets what a device said last (its socket is gone for good, or it was revoked). */
  forget(deviceId: string): void
}

type LastHeartbeat = { raw: string; said: HeartbeatRequest }

/** Devices whose last heartbeat is remembered; above it the oldest is forgotten and says everything anew. */
const REMEMBERED = 50_000

export function createIntake(deps: IntakeDeps): Intake {
  const lastHeartbeats = new Map<string, LastHeartbeat>()
  const lastUpTo = new Map<string, number>()
  const upToOf = async (device: Device) => {
    const upTo = await deps.log.upTo(device.day, sourceOf(device))
    remember(lastUpTo, device.id, upTo)
    return upTo
  }

  const notTaken = (day: RunningDay | null, id: string) =>
    day || deps.isClosed(id) ? dayIsClosed : dayIsStopped

  async function report(device: Device, request: unknown): Promise<ReportAnswer> {
    const parsed = readAs(reportRequest, request)
    if (!parsed.success)
      return { ok: false, upTo: await upToOf(device), problems: [...problemsOf(parsed.error)] }
    const { reports, sentAt } = parsed.data
    if (reports.length === 0) return { ok: true, upTo: await upToOf(device), refused: [] }
    const day = deps.dayOf(device.day)
    if (!day || day.closed())
      return { ok: false, upTo: await upToOf(device), problems: notTaken(day, device.day) }
    const wall = deps.wall()
    const wait = deps.reportRate.take(device.id, reports.length, wall)
    if (wait > 0) return { ok: false, upTo: await upToOf(device), retryAfter: wait }
    const sending = sendingOf(sentAt, day)
    const skew = skewSeconds(sending.sentAt, wall)
    const ordered = reports.every((r, i) => i === 0 || r.number > reports[i - 1]!.number)
      ? reports
      : [...reports].sort((a, b) => a.number - b.number)
    const outcome = await deps.log.report(
      device.day,
      sourceOf(device),
      ordered.map(r => offer(device, r, sending, skew)),
      (howMany, at) => keptAsideEntry(device.precinct, device.id, howMany, at),
    )
    remember(lastUpTo, device.id, outcome.upTo)
    if (outcome.refused.length > 0) deps.onRefused?.(outcome.refused.length)
    if (outcome.gap) return { ok: false, upTo: outcome.upTo, next: outcome.upTo + 1 }
    return {
      ok: true,
      upTo: outcome.upTo,
      refused: outcome.refused.map(r => ({ number: r.number, problems: [...r.problems] })),
    }
  }

  async function heartbeat(device: Device, request: unknown): Promise<HeartbeatAnswer> {
    const wall = deps.wall()
    const wait = deps.heartbeatRate.take(device.id, 1, wall)
    if (wait > 0) return { ok: false, retryAfter: wait }
    const day = deps.dayOf(device.day)
    if (!day || day.closed()) return { ok: false, problems: notTaken(day, device.day) }
    // Another speaks for the precinct: what this one says is no sign of life, and not how things stand.
    if (device.replacedAt !== null) return { ok: false, problems: [...deviceReplaced] }
    // The usual heartbeat is the same text as the last good one but for sentAt: known without checking it again.
    const { sentAt, ...rest } = isRecord(request) ? request : { sentAt: undefined }
    const raw = JSON.stringify(rest)
    const last = lastHeartbeats.get(device.id)
    if (last?.raw !== raw || !isRecord(request)) {
      const parsed = readAs(heartbeatRequest, request)
      if (!parsed.success) return { ok: false, problems: [...problemsOf(parsed.error)] }
      const news = newsOf(parsed.data, last?.said)
      if (news) {
        const sending = sendingOf(parsed.data.sentAt, day)
        const skew = skewSeconds(sending.sentAt, wall)
        await deps.log.append(device.day, recordedAt => ({
          kind: 'HeartbeatReceived',
          version: kinds.HeartbeatReceived.version,
          precinct: device.precinct,
          source: sourceOf(device),
          number: null,
          occurredAt: recordedAt,
          origin: { via: 'device', ...(skew ? { skewSeconds: skew } : {}) },
          body: datedNews(news, recordedAt, sending),
        }))
      }
      remember(lastHeartbeats, device.id, { raw, said: parsed.data })
    } else if (sentAt !== undefined && !(typeof sentAt === 'string' && !Number.isNaN(fromRfc3339(sentAt)))) {
      return { ok: false, problems: [{ path: 'sentAt', message: 'a time as RFC 3339' }] }
    }
    const now = day.now()
    day.heard(device.precinct, now)
    // Known from its last report here: a lower bound where it has spoken to another node since.
    const upTo = lastUpTo.get(device.id) ?? (await upToOf(device))
    return { ok: true, recordedAt: toRfc3339(now), upTo }
  }

  return {
    report: (device, request) =>
      report(device, request).catch(error => ({
        ok: false,
        upTo: lastUpTo.get(device.id) ?? 0,
        retryAfter: waitFor(error, deps),
      })),
    heartbeat: (device, request) =>
      heartbeat(device, request).catch(error => ({ ok: false, retryAfter: waitFor(error, deps) })),
    forget: deviceId => {
      lastHeartbeats.delete(deviceId)
      lastUpTo.delete(deviceId)
    },
  }
}

/** Trouble of ours, not of the device: it keeps its report and comes again after so many milliseconds. */
function waitFor(error: unknown, deps: IntakeDeps): number {
  deps.onTrouble(error)
  return isRecord(error) && typeof error.retryAfter === 'number' ? error.retryAfter : 2_000
}

/** Keeps the REMEMBERED devices heard last: a Map keeps the order of insertion, so the first is the oldest. */
function remember<T>(map: Map<string, T>, deviceId: string, value: T) {
  if (!map.delete(deviceId) && map.size >= REMEMBERED) {
    const oldest = map.keys().next()
    if (!oldest.done) map.delete(oldest.value)
  }
  map.set(deviceId, value)
}

function sendingOf(sentAt: string | undefined, day: RunningDay): Sending {
  return {
    sentAt: sentAt === undefined ? null : fromRfc3339(sentAt),
    elapsed: day.elapsed,
    openedAt: day.openedAt(),
  }
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}

const dayIsClosed = [{ path: '', message: 'this day is closed: the office takes no more reports for it' }]
const dayIsStopped = [
  { path: '', message: 'this day does not run now: what is said waits until the office runs it again' },
]
