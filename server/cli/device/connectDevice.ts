import { checkPrecinctReport, problemsOf, readAs } from '../../domain/log/check.ts'
import { fromRfc3339, type Instant, toRfc3339 } from '../../domain/time.ts'
import {
  type DevicePlan,
  type HeartbeatRequest,
  heartbeatRequest,
  LIMITS,
  type Notice,
  type Problem,
  reportEnvelope,
} from '../../protocol/device.ts'
import { httpLink } from './httpLink.ts'
import {
  afterAnswer,
  afterHeartbeat,
  BATCH,
  backOffMs,
  nextStep,
  type Progress,
  type Wait,
} from './sending.ts'
import { socketLink } from './socketLink.ts'
import { type DeviceStore, KEPT } from './store.ts'

/**
 * A device without a screen: the reference of what a program does that speaks for a precinct. It numbers and saves a
 * report before it sends it, sends in the order of the numbers with one request under way, and keeps each until the
 * office has dealt with it. A key that is refused, or a day that is closed, ends it; what waits stays in the store.
 */
export type HeadlessDevice = {
  /**
   * Checks, numbers and saves a report; sending follows by itself. @param at RFC 3339 by this device's clock
   * @throws where the store can't keep it
   */
  say(kind: string, body: unknown, at?: string): Said
  /** What is so now. Only the latest is sent; it may be missed. */
  beat(says: unknown): { ok: true } | { ok: false; problems: readonly Problem[] }
  /** Day time by what the office told, milliseconds; null: not told yet. */
  dayNow(): Instant | null
  /** Resolves when nothing waits any more (null), or when nothing more can be sent: why. */
  settled(): Promise<Ended | null>
  close(): void
}

type Said =
  | { ok: true; number: number }
  | { ok: false; problems: readonly Problem[] }
  /** So many wait already: say it again when some are with the office. */
  | { ok: false; full: number }

/** `storage`: what the office answered could not be kept. */
export type Ended = 'key-refused' | 'closed' | 'left' | 'storage'

/** What there is to tell: each a line for people or for another program. */
export type Told =
  | { upTo: number; waiting: number }
  | { refused: number; problems: Problem[] }
  | { heard: string }
  | { notHeard: Problem[] }
  | { linked: boolean }
  | { day: string; speed: number }
  | { plan: DevicePlan }
  | { notice: Notice }
  | { turnedAway: Problem[] }
  | { stuck: { wanted: number; holds: number } }
  | { ended: Ended }

export type DeviceSetting = {
  /** The office's address, without a path. */
  url: string
  key: string
  store: DeviceStore
  link?: 'socket' | 'http'
  tell?(told: Told): void
  /** This device's own clock, ms; only its differences matter. */
  wall?(): number
  /** Between 0 and 1: so that devices don't all come back at once. */
  random?(): number
}

/** A request was turned away, or can't be made: asked again this seldom, ms. */
const SELDOM_MS = 60_000

type Beat = Omit<HeartbeatRequest, 'sentAt'>

export function connectDevice(s: DeviceSetting): HeadlessDevice {
  const { store } = s
  const wall = s.wall ?? Date.now
  const random = s.random ?? Math.random
  const tell = s.tell ?? (() => {})
  let progress: Progress = { office: null, done: store.done() }
  let busy = false
  let failures = 0
  let timer: NodeJS.Timeout | null = null
  let beat: Beat | null = null
  let time: { day: Instant; wall: number; speed: number } | null = null
  let ended: Ended | null = null
  let settling: Array<(ended: Ended | null) => void> = []

  const link = (s.link === 'http' ? httpLink : socketLink)({
    url: s.url,
    key: s.key,
    on: {
      up: () => {
        tell({ linked: true })
        // The office may be another one than before: it began anew, or was restored from a copy.
        progress = { ...progress, office: null }
        failures = 0
        cancel()
        pump()
      },
      down: () => tell({ linked: false }),
      keyRefused: () => end('key-refused'),
      closed: () => end('closed'),
      // Where nobody is told, nothing has to be read.
      ...(s.tell && { plan: plan => tell({ plan }), notice: notice => tell({ notice }) }),
      heard: ({ recordedAt, speed }) => {
        time = { day: fromRfc3339(recordedAt), wall: wall(), speed }
        tell({ day: recordedAt, speed })
      },
    },
  })
  // A link without a socket is up from the start.
  pump()

  function cancel() {
    if (timer) clearTimeout(timer)
    timer = null
  }

  function pumpIn(ms: number) {
    cancel()
    timer = setTimeout(() => {
      timer = null
      pump()
    }, ms)
  }

  function end(why: Ended) {
    if (ended) return
    ended = why
    cancel()
    link.close()
    tell({ ended: why })
    leaveSettling(why)
  }

  function leaveSettling(with_: Ended | null) {
    const leaving = settling
    settling = []
    for (const done of leaving) done(with_)
  }

  function pump() {
    if (ended || busy || timer || !link.isUp()) return
    const step = nextStep(progress, number => store.after(number, BATCH.reports + 1))
    if (step.is === 'ask') return void requestOf([])
    if (step.is === 'send') return void requestOf(step.reports)
    if (step.is === 'stuck') {
      tell({ stuck: { wanted: step.wanted, holds: step.holds } })
      progress = { ...progress, office: null }
      return pumpIn(SELDOM_MS)
    }
    if (beat) return void sendBeat(beat)
    leaveSettling(null)
  }

  async function requestOf(reports: ReturnType<DeviceStore['after']>) {
    busy = true
    const answer = await link.report({ sentAt: toRfc3339(wall()), reports })
    busy = false
    if (ended) return
    const before = progress
    const outcome = afterAnswer(
      progress,
      reports.map(r => r.number),
      answer,
    )
    progress = outcome.progress
    if (answer?.ok && (reports.length > 0 || answer.upTo > store.last())) {
      try {
        for (const { number, problems } of store.settle(progress.done, answer.upTo, outcome.refused))
          tell({ refused: number, problems })
      } catch {
        return end('storage')
      }
      if (progress.done > before.done) tell({ upTo: progress.done, waiting: store.waiting() })
    }
    goOn(outcome.wait)
  }

  async function sendBeat(sent: Beat) {
    busy = true
    const answer = await link.heartbeat({ sentAt: toRfc3339(wall()), ...sent })
    busy = false
    if (ended) return
    if (!answer) return goOn({ is: 'backOff' })
    if (!answer.ok && answer.retryAfter !== undefined) return goOn({ is: 'told', ms: answer.retryAfter })
    if (beat === sent) beat = null
    if (answer.ok) {
      tell({ heard: answer.recordedAt })
      time ??= { day: fromRfc3339(answer.recordedAt), wall: wall(), speed: 1 }
      progress = afterHeartbeat(progress, answer.upTo)
    } else tell({ notHeard: answer.problems ?? [] })
    goOn(null)
  }

  function goOn(wait: Wait | null) {
    if (!wait) {
      failures = 0
      return pump()
    }
    if (wait.is === 'backOff') return pumpIn(backOffMs(failures++, random()))
    if (wait.is === 'told') return pumpIn(wait.ms * (1 + random() / 5))
    tell({ turnedAway: wait.problems })
    pumpIn(SELDOM_MS)
  }

  return {
    say(kind, body, at = toRfc3339(wall())) {
      const checked = checkSaid(kind, body, at)
      if ('problems' in checked) return { ok: false, problems: checked.problems }
      if (store.waiting() >= KEPT.waiting) return { ok: false, full: KEPT.waiting }
      const { number } = store.add({ at, kind, body: checked.body })
      pump()
      return { ok: true, number }
    },
    beat(says) {
      const parsed = readAs(heartbeatRequest.omit({ sentAt: true }), says)
      if (!parsed.success) return { ok: false, problems: problemsOf(parsed.error) }
      beat = parsed.data
      pump()
      return { ok: true }
    },
    dayNow: () => (time ? time.day + (wall() - time.wall) * time.speed : null),
    settled: () =>
      new Promise(done => {
        if (ended) return done(ended)
        settling.push(done)
        pump()
      }),
    close: () => end('left'),
  }
}

/** By the same checks as the office's, so that what it would refuse takes no number. */
function checkSaid(
  kind: string,
  body: unknown,
  at: string,
): { body: Record<string, unknown> } | { problems: readonly Problem[] } {
  const when = readAs(reportEnvelope.shape.at, at)
  if (!when.success) return { problems: problemsOf(when.error, 'at') }
  const checked = checkPrecinctReport(kind, body)
  if ('problems' in checked) return checked
  const text = JSON.stringify({ number: Number.MAX_SAFE_INTEGER, at, ...checked })
  if (Buffer.byteLength(text) > LIMITS.reportBytes)
    return {
      problems: [{ path: 'body', message: `longer than ${LIMITS.reportBytes} bytes: shorten its text` }],
    }
  return { body: JSON.parse(JSON.stringify(checked.body)) }
}
