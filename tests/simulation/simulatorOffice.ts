import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { Server, type Socket } from 'socket.io'
import { checkPrecinctReport } from '../../server/domain/log/check.ts'
import { fromRfc3339, type Instant, toRfc3339 } from '../../server/domain/time.ts'
import { type DayClock, practiceClock } from '../../server/live/clock.ts'
import {
  enrolRequest,
  heartbeatRequest,
  type ReportRequest,
  reportRequest,
} from '../../server/protocol/device.ts'

/** A small office that answers the device link as the wire says, keeps all in memory, and can be made to fail. */
type Kept = {
  number: number
  kind: string
  text: string
  happenedAt: Instant
  recordedAt: Instant
  sentAt: Instant
}
export type Office = {
  url: string
  clock: DayClock
  /** By key (here: the precinct's code). */
  reports: Map<string, Kept[]>
  heartbeats: Map<
    string,
    Array<{ at: Instant; text: string; polls: { is: string; happenedAt: Instant } | null }>
  >
  /** Requests that were answered with a gap, or held a number with other content. */
  gaps: string[]
  reused: string[]
  linked(): string[]
  /** Of every so many reports, one answer is lost after it was taken, and one is told to wait. */
  trouble: { loseEvery: number; waitEvery: number }
  sayHeard(): void
  codes: Map<string, string>
  close(): Promise<void>
}

export async function openOffice(
  startAt: Instant,
  speed: number,
  from?: Pick<Office, 'reports' | 'heartbeats' | 'gaps' | 'reused'> & { port: number },
): Promise<Office> {
  const clock = practiceClock(Date.now, startAt, speed)
  const kept: NonNullable<typeof from> = from ?? {
    reports: new Map(),
    heartbeats: new Map(),
    gaps: [],
    reused: [],
    port: 0,
  }
  const { reports, heartbeats, gaps, reused } = kept
  const codes = new Map<string, string>()
  let tries = 0
  const http = createServer((request, response) => {
    let text = ''
    request.on('data', chunk => {
      text += chunk
    })
    request.on('end', () => {
      const answer = (status: number, json: object) => {
        response.writeHead(status, { 'content-type': 'application/json' }).end(JSON.stringify(json))
      }
      const asked = enrolRequest.safeParse(JSON.parse(text))
      if (request.url !== '/api/v1/enrol' || !asked.success) return answer(404, {})
      const problems = [{ path: 'code', message: 'this code is not good' }]
      if (++tries === 1) return answer(429, { ok: false, problems, retryAfter: 20 })
      const precinct = codes.get(asked.data.code)
      codes.delete(asked.data.code)
      if (precinct === undefined) return answer(403, { ok: false, problems })
      answer(200, { ok: true, device: `d-${precinct}`, key: precinct, day: 'x', precinct, upTo: 0 })
    })
  })
  const io = new Server(http, { serveClient: false })
  const devices = io.of('/precinct')
  const trouble = { loseEvery: 0, waitEvery: 0 }
  const asks = { n: 0 }

  devices.use((socket, next) => {
    const key = String(socket.handshake.auth.key)
    if (key.startsWith('bad'))
      return next(Object.assign(new Error('key-refused'), { data: { reason: 'key-refused' } }))
    socket.data.key = key
    next()
  })

  /** As the office reckons it, less what the way took (both clocks are this machine's): a busy machine is no fault. */
  function happenedAt(sentAt: string, at: string): Instant {
    const sent = fromRfc3339(sentAt)
    return clock.now() - clock.elapsed(Math.max(0, sent - fromRfc3339(at)) + Date.now() - sent)
  }

  function take(key: string, request: ReportRequest) {
    const mine = reports.get(key) ?? []
    reports.set(key, mine)
    const now = clock.now()
    const sentAt = fromRfc3339(request.sentAt!)
    for (const r of request.reports) {
      const text = JSON.stringify([r.at, r.kind, r.body])
      const known = mine[r.number - 1]
      if (known) {
        if (known.text !== text) reused.push(`${key} ${r.number}`)
        continue
      }
      if (r.number !== mine.length + 1) {
        gaps.push(`${key} ${r.number}`)
        return { ok: false, upTo: mine.length, next: mine.length + 1 }
      }
      const checked = checkPrecinctReport(r.kind, r.body)
      if ('problems' in checked) throw new Error(JSON.stringify(checked.problems))
      const dated = happenedAt(request.sentAt!, r.at)
      mine.push({ number: r.number, kind: r.kind, text, happenedAt: dated, recordedAt: now, sentAt })
    }
    return { ok: true, upTo: mine.length, refused: [] }
  }

  devices.on('connection', (socket: Socket) => {
    const key: string = socket.data.key
    socket.emit('heard', { recordedAt: toRfc3339(clock.now()), speed: clock.speed() })
    socket.on('report', (message: unknown, answer: (a: unknown) => void) => {
      const request = reportRequest.parse(message)
      asks.n++
      if (request.reports.length > 0 && trouble.waitEvery && asks.n % trouble.waitEvery === 0)
        return answer({ ok: false, upTo: reports.get(key)?.length ?? 0, retryAfter: 30 })
      const taken = take(key, request)
      // A lost answer: the link breaks between the commit and the acknowledgement.
      if (request.reports.length > 0 && trouble.loseEvery && asks.n % trouble.loseEvery === 0)
        return socket.conn.close()
      answer(taken)
    })
    socket.on('heartbeat', (message: unknown, answer: (a: unknown) => void) => {
      const { sentAt, ...rest } = heartbeatRequest.parse(message)
      if (sentAt === undefined) throw new Error('a heartbeat without sentAt')
      const mine = heartbeats.get(key) ?? []
      heartbeats.set(key, mine)
      const polls = rest.status?.polls
      mine.push({
        at: clock.now(),
        text: JSON.stringify(rest),
        polls: polls ? { is: polls.is, happenedAt: happenedAt(sentAt, polls.asOf) } : null,
      })
      answer({ ok: true, recordedAt: toRfc3339(clock.now()), upTo: reports.get(key)?.length ?? 0 })
    })
  })
  await new Promise<void>(resolve => void http.listen(kept.port, '127.0.0.1', resolve))
  const { port } = http.address() as AddressInfo
  return {
    url: `http://127.0.0.1:${port}`,
    clock,
    reports,
    heartbeats,
    gaps,
    reused,
    trouble,
    codes,
    linked: () => [...devices.sockets.values()].map(s => s.data.key as string).sort(),
    sayHeard: () => devices.emit('heard', { recordedAt: toRfc3339(clock.now()), speed: clock.speed() }),
    close: () => new Promise<void>(resolve => void io.close(() => resolve())),
  }
}
