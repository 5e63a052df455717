import type { DeviceLink } from '../../server/cli/device/link.ts'
import { afterAnswer, afterHeartbeat, type Progress } from '../../server/cli/device/sending.ts'
import { socketLink } from '../../server/cli/device/socketLink.ts'
import { fromRfc3339, type Instant, SECOND, toRfc3339 } from '../../server/domain/time.ts'
import type { ReportAnswer } from '../../server/protocol/device.ts'
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
/**
 * However fast the day runs, a tablet speaks at most five times a second of wall time; only where that would bring
 * it near silence it speaks faster, so that two heartbeats may be lost in the time after which it is called silent.
 */
const FASTEST_HEARTBEAT_MS = 200
/** The office takes nothing now (the day is closed, a request was not understood): ask again seldom. */
const REFUSED_MS = 5_000
/** Its list is drawn anew whenever it starts, so it goes by the office's word alone. */
const NOT_ASKED: Progress = { office: null, done: Number.MAX_SAFE_INTEGER }

export function createTablet(s: TabletSetting): Tablet {
  const { clock, tell, precinct } = s
  let link: DeviceLink | null = null
  let heardHere = false
  let progress: Progress = NOT_ASKED
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
    let n = progress.office ?? 0
    while (n < script.facts.length && script.facts[n]!.at <= now) n++
    return n
  }

  function linkUp() {
    link = socketLink({
      url: s.url,
      key: s.key,
      anyCertificate: s.anyCertificate,
      on: {
        heard: ({ recordedAt, speed }) => {
          clock.heard(fromRfc3339(recordedAt), speed, s.wall())
          heardHere = true
        },
        down: () => {
          clock.unsure()
          broke = true
          unlinked()
        },
        keyRefused: () => {
          over = true
          tell({ keyRefused: precinct })
          hangUp()
        },
      },
    })
  }

  function unlinked() {
    heardHere = false
    progress = NOT_ASKED
    busy = false
  }

  function hangUp() {
    link?.close()
    link = null
    unlinked()
  }

  /** One request at a time. */
  function ask<T>(question: (link: DeviceLink) => Promise<T>, answered: (answer: T) => void) {
    const mine = link!
    busy = true
    question(mine).then(answer => {
      if (mine !== link || !mine.isUp()) return
      busy = false
      answered(answer)
    })
  }

  function took(numbers: number[], answer: ReportAnswer | null) {
    const { progress: next, refused, wait } = afterAnswer(progress, numbers, answer)
    progress = next
    for (const number of sentWith.at.keys()) if (number <= (answer?.upTo ?? 0)) sentWith.at.delete(number)
    for (const one of refused) tell({ refused: precinct, ...one })
    if (wait?.is === 'told') notBefore = s.wall() + wait.ms
    if (wait?.is === 'turnedAway') {
      notBefore = s.wall() + REFUSED_MS
      tell({ notTaken: precinct, problems: wait.problems })
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
    ask(
      to => to.report({ sentAt: toRfc3339(s.wall()), reports }),
      answer =>
        took(
          reports.map(r => r.number),
          answer,
        ),
    )
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
    ask(
      to => to.heartbeat(message),
      answer => {
        if (!answer) progress = NOT_ASKED
        else if (answer.ok) {
          clock.atLeast(fromRfc3339(answer.recordedAt), s.wall())
          progress = afterHeartbeat(progress, answer.upTo)
        } else notBefore = s.wall() + (answer.retryAfter ?? REFUSED_MS)
      },
    )
  }

  return {
    precinct,
    lastSent: () => s.script().facts[Math.max(sent, progress.office ?? 0) - 1]?.at ?? null,
    tick(wall) {
      if (over) return
      const now = clock.now(wall)
      // A tablet with a gap in its day doesn't link up before it knows whether it stands in it.
      const mayLink = now === null ? s.mustLook || s.script().gaps.length === 0 : !cutOff(now)
      if (!mayLink) return link ? hangUp() : undefined
      if (!link) return linkUp()
      if (!link.isUp() || busy || wall < notBefore || !heardHere || now === null) return
      const upTo = progress.office
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
      return over || cutOff(now) || (heardHere && progress.office !== null && dueBy(now) === progress.office)
    },
    asking: () => busy,
    close: hangUp,
  }
}
