import { io, type Socket } from 'socket.io-client'
import { fromRfc3339, type Instant, SECOND, toRfc3339 } from '../../server/domain/time.ts'
import { heard, heartbeatAnswer, type ReportAnswer, reportAnswer } from '../../server/protocol/device.ts'
import type { DayClock } from './dayClock.ts'
import type { Says } from './heartbeat.ts'
import type { PrecinctScript } from './script.ts'

/**
 * One simulated tablet: it speaks only the public device link, as a real one would. Its script is its outbox:
 * the numbers are 1, 2, 3 … in it, what it still has to send is all after the office's `upTo`, and one request
 * is under way at a time. A report keeps the time it was first sent with, so sent again it is the same report.
 */
export type Tablet = {
  precinct: string
  /** When the last fact happened that was ever under way to the office; null: none was. */
  lastSent(): Instant | null
  /** Does what is due: link, catch up, facts, heartbeat. Cheap when nothing is. */
  tick(wall: number): void
  /** Everything due by now is with the office, or it can't be: no link by the script, or its key was refused. */
  settled(now: Instant): boolean
  /** A request of its own is under way. */
  asking(): boolean
  close(): void
}

export type TabletSetting = {
  url: string
  /** The server is this very machine's: its certificate may be for another name. */
  anyCertificate: boolean
  key: string
  precinct: string
  /** As it is now: a trainer's orders change what is still to come. */
  script: () => PrecinctScript
  /** Nobody else tells the time: link up to learn it, also where the day has a gap. */
  mustLook: boolean
  heartbeatAt: (at: Instant) => Says | null
  periodSeconds: number
  silentAfterSeconds: number
  clock: DayClock
  wall: () => number
  /** Progress and trouble, as fields of one JSON line. */
  tell: (line: Record<string, unknown>) => void
}

/** One batch; a report of the script has about 250 bytes, so it stays far below the wire's limits. */
const BATCH = 100
const ANSWER_MS = 10_000
/**
 * However fast the day runs, a tablet speaks at most five times a second of wall time; only where that would bring
 * it near silence it speaks faster, so that two heartbeats may be lost in the time after which it is called silent.
 */
const FASTEST_HEARTBEAT_MS = 200
const TRY_AGAIN_MS = 1_000
/** The office takes nothing now (the day is closed, a request was not understood): ask again seldom. */
const REFUSED_MS = 5_000

export function createTablet(s: TabletSetting): Tablet {
  const { clock, tell, precinct } = s
  let socket: Socket | null = null
  let heardHere = false
  let upTo: number | null = null
  let busy = false
  let sent = 0
  let notBefore = 0
  let lastHeartbeat = Number.NEGATIVE_INFINITY
  let over = false
  let broke = false
  let sentWith = { epoch: -1, at: new Map<number, string>() }
  let dated = { reckoning: -1, texts: new Map<string, string>() }

  const cutOff = (now: Instant) => s.script().gaps.some(g => g.from <= now && (g.to === null || now < g.to))
  const dueBy = (now: Instant) => {
    const script = s.script()
    let n = upTo ?? 0
    while (n < script.facts.length && script.facts[n]!.at <= now) n++
    return n
  }

  function connect() {
    socket = io(`${s.url}/precinct`, {
      auth: { key: s.key },
      transports: ['websocket'],
      forceNew: true,
      rejectUnauthorized: !s.anyCertificate,
      reconnectionDelay: 300,
      reconnectionDelayMax: 3_000,
    })
    const mine = socket
    socket.on('heard', (message: unknown) => {
      const parsed = heard.safeParse(message)
      if (!parsed.success || mine !== socket) return
      clock.heard(fromRfc3339(parsed.data.recordedAt), parsed.data.speed, s.wall())
      heardHere = true
    })
    socket.on('disconnect', () => {
      if (mine !== socket) return
      clock.unsure()
      broke = true
      unlinked()
    })
    socket.on('connect_error', (error: Error & { data?: { reason?: string; retryAfter?: number } }) => {
      if (mine !== socket) return
      notBefore = s.wall() + (error.data?.retryAfter ?? TRY_AGAIN_MS)
      if (error.data?.reason !== 'key-refused') return
      over = true
      tell({ keyRefused: precinct })
      hangUp()
    })
  }

  function unlinked() {
    heardHere = false
    upTo = null
    busy = false
  }

  function hangUp() {
    const was = socket
    socket = null
    was?.disconnect()
    unlinked()
  }

  /** One request at a time; without an answer in time the office is asked for `upTo` again. */
  function ask(event: 'report' | 'heartbeat', message: object, answered: (answer: unknown) => void) {
    const mine = socket!
    busy = true
    mine.timeout(ANSWER_MS).emit(event, message, (error: Error | null, answer: unknown) => {
      if (mine !== socket || !mine.connected) return
      busy = false
      if (error) upTo = null
      else answered(answer)
    })
  }

  function took(answer: ReportAnswer) {
    if (answer.ok || answer.next !== undefined) upTo = answer.upTo
    for (const number of sentWith.at.keys()) if (number <= answer.upTo) sentWith.at.delete(number)
    if (answer.ok) for (const refused of answer.refused) tell({ refused: precinct, ...refused })
    else if (answer.retryAfter !== undefined) notBefore = s.wall() + answer.retryAfter
    else if (answer.problems) {
      notBefore = s.wall() + REFUSED_MS
      tell({ notTaken: precinct, problems: answer.problems })
    }
  }

  function report(from: number, to: number) {
    // The link broke and the day's time was set anew: the office began again, so what was under way to it is lost
    // and may be dated by the new reckoning. In any other case it may have arrived, and must stay the same report.
    if (broke && sentWith.epoch !== clock.epoch()) sentWith = { epoch: clock.epoch(), at: new Map() }
    broke = false
    sent = Math.max(sent, to)
    const reports = s
      .script()
      .facts.slice(from, to)
      .map((fact, i) => {
        const number = from + i + 1
        const at = sentWith.at.get(number) ?? clock.wallText(fact.at)
        sentWith.at.set(number, at)
        return { number, at, kind: fact.kind, body: fact.body }
      })
    ask('report', { sentAt: toRfc3339(s.wall()), reports }, answer => {
      const parsed = reportAnswer.safeParse(answer)
      if (parsed.success) took(parsed.data)
      else upTo = null
    })
  }

  /** Times inside a heartbeat stand by the tablet's own clock, and stay the same text as long as they mean the same. */
  function byOwnClock(says: Says): Says {
    if (dated.reckoning !== clock.reckoning()) dated = { reckoning: clock.reckoning(), texts: new Map() }
    return JSON.parse(JSON.stringify(says), (key, value) => {
      if (key !== 'asOf') return value
      const text = dated.texts.get(value) ?? clock.wallText(fromRfc3339(value))
      dated.texts.set(value, text)
      return text
    })
  }

  function beat(says: Says, waiting: number, wall: number) {
    lastHeartbeat = wall
    const message = {
      sentAt: toRfc3339(wall),
      ...byOwnClock({ ...says, device: { ...says.device, waiting } }),
    }
    ask('heartbeat', message, answer => {
      const parsed = heartbeatAnswer.safeParse(answer)
      if (!parsed.success) return
      if (parsed.data.ok) {
        clock.atLeast(fromRfc3339(parsed.data.recordedAt), s.wall())
        // Less than it had before: it was restored from a copy. It is asked anew, and sent again what it lost.
        if (upTo !== null && parsed.data.upTo < upTo) upTo = null
      } else notBefore = s.wall() + (parsed.data.retryAfter ?? REFUSED_MS)
    })
  }

  return {
    precinct,
    lastSent: () => s.script().facts[Math.max(sent, upTo ?? 0) - 1]?.at ?? null,
    tick(wall) {
      if (over) return
      const now = clock.now(wall)
      // A tablet with a gap in its day doesn't link up before it knows whether it stands in it.
      const mayLink = now === null ? s.mustLook || s.script().gaps.length === 0 : !cutOff(now)
      if (!mayLink) return socket ? hangUp() : undefined
      if (!socket) return connect()
      if (!socket.connected) {
        if (!socket.active && wall >= notBefore) {
          notBefore = wall + TRY_AGAIN_MS
          socket.connect()
        }
        return
      }
      if (busy || wall < notBefore || !heardHere || now === null) return
      if (upTo === null) return report(0, 0)
      const due = dueBy(now)
      if (due > upTo) return report(upTo, Math.min(due, upTo + BATCH))
      const fastest = Math.min(FASTEST_HEARTBEAT_MS, (s.silentAfterSeconds * SECOND) / clock.speed() / 3)
      const period = Math.max(fastest, (s.periodSeconds * SECOND) / clock.speed())
      if (wall - lastHeartbeat < period) return
      const says = s.heartbeatAt(now)
      if (says) beat(says, due - upTo, wall)
    },
    settled(now) {
      return over || cutOff(now) || (heardHere && upTo !== null && dueBy(now) === upTo)
    },
    asking: () => busy,
    close: hangUp,
  }
}
