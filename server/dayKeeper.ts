import type { DayRecord, Days } from '../db/days.ts'
import type { Access } from './access/access.ts'
import { type PracticeFiles, practiceFiles } from './dayKeeperFiles.ts'
import { type Practice, runPractice } from './dayKeeperPractice.ts'
import { closedAlready, type KeptDays, keptDays, no, unknownDay } from './dayKeeperReads.ts'
import { LIMITS } from './domain/day/state.ts'
import type { DayLog } from './domain/log/dayLog.ts'
import type { Plan } from './domain/plan/plan.ts'
import { hhmmOf, instantOf } from './domain/plan/zone.ts'
import type { Done, Refused, SetupDays } from './http/setupRoutes.ts'
import { practiceClock, realClock, STILL } from './live/clock.ts'
import { systemEntry } from './live/evaluator.ts'
import type { LiveDay } from './live/liveDay.ts'
import type { Log } from './log.ts'
import { practiceStart } from './openDay.ts'
import type { RunningDays } from './runningDays.ts'

/**
 * Keeps the days of the database: which are there, which run, and how they begin and end. One thing at a time
 * happens to a day. A user's mistake is a value that says why; what throws is trouble of ours.
 *
 * ```
 * upload ─▶ kept ── open (election) ──▶ running ── close ─▶ closed
 *             └──── practise ─────────▶ running ── server stops ─▶ stopped ── practise again ─▶ running
 * ```
 */
export type DayKeeper = KeptDays &
  SetupDays & {
    /** The server listens here: tablets of practice days can call it. */
    listening(url: string): void
    /** Runs the election days that were opened and not closed, all or the one named. What it says is for people. */
    resume(only: string | null, say: (line: string) => void): Promise<Done>
    /** Resolves when a practice day's morning was played; at once where there is none. Rejects where it can't be. */
    ready(day: string): Promise<void>
    /** How far the morning of a practice day is, for whoever waits. */
    onMorning(listener: (day: string, percent: number) => void): void
    stop(): Promise<void>
  }
export function makeDayKeeper(deps: {
  days: Days
  log: DayLog
  access: Access
  live: RunningDays
  wall(): number
  keptFolder: string | null
  logger: Log
}): DayKeeper {
  const { days, access, live, wall, logger } = deps
  const practices = new Map<string, Practice>()
  const busy = new Map<string, Promise<unknown>>()
  const listeners = new Set<(day: string, percent: number) => void>()
  let listening: (url: string) => void = () => {}
  const url = new Promise<string>(resolve => {
    listening = resolve
  })

  const filesOf = (day: string) => (deps.keptFolder === null ? null : practiceFiles(deps.keptFolder, day))

  /** One thing at a time a day, on its record as it is then. */
  function withDay<T extends { ok: true }>(
    day: string,
    use: (record: DayRecord) => Promise<T | Refused>,
  ): Promise<T | Refused> {
    const before = busy.get(day) ?? Promise.resolve()
    const mine = before
      .catch(() => {})
      .then(async () => {
        const record = await days.get(day)
        return record ? use(record) : unknownDay
      })
    busy.set(day, mine)
    const gone = () => {
      if (busy.get(day) === mine) busy.delete(day)
    }
    mine.then(gone, gone)
    return mine
  }

  /** The tablets of a simulated day have their codes before they are started. */
  async function simulatedBy(files: PracticeFiles, record: DayRecord, plan: Plan) {
    if (!files.hasTablets()) {
      const codes: Record<string, { code: string }> = {}
      for (const { code } of plan.precincts) codes[code] = { code: await access.issueCode(record.id, code) }
      files.keepCodes(codes)
    }
    const onSaid = (line: string) => logger.warn({ day: record.id, simulator: line }, 'the simulator said')
    return { plan, seed: record.seed ?? 1, tablets: files.tablets, orders: files.orders, onSaid }
  }

  const practise: SetupDays['practise'] = (day, how) =>
    withDay(day, async (found): Promise<Done> => {
      if (found.kind !== 'practice')
        return no('day', 'this is an election day: it is opened, and runs by the real clock')
      const refused = closedAlready(found)
      if (refused) return refused
      const runs = practices.get(day)
      if (runs) {
        if (runs.trouble() === null || !how.simulated) return no('day', 'this day is running')
        runs.again(how.speed)
        return { ok: true }
      }
      const begun = await days.begun(day)
      const plan = await days.plan(found.planHash)
      const files = filesOf(day)
      if (begun && how.from !== undefined) return no('from', 'the day has begun: it goes on where it stood')
      if (how.simulated && !files)
        return no('simulated', 'this server keeps no files, so it starts no tablets')
      if (how.simulated && begun && !files?.hasTablets())
        return no(
          'simulated',
          'the day began without simulated tablets, or on another machine: their keys are not here',
        )
      const record = (await days.open(day, wall(), how.seed)) ?? found
      const from = how.from === undefined ? null : instantOf(plan.date, how.from, plan.timeZone)
      // Files of a day of another database are of no use here.
      if (!begun) files?.remove()
      if (!begun && how.simulated) files?.keepMorning(from)
      const beginsAt = !how.simulated && from !== null ? from : practiceStart(plan)
      // The clock was saved a moment before the last entries: the day never goes back behind its log.
      const stoodAt = Math.max(record.clockAt ?? beginsAt, (await deps.log.head(day)).recordedAt)
      const simulated = how.simulated && files ? await simulatedBy(files, record, plan) : null
      // Still, until its beginning is written.
      const clock = practiceClock(wall, stoodAt, STILL)
      const started = await live.start(record, clock)
      if (started.closed()) return no('day', 'the log of this day says that it is closed')
      await started.begin(record.planHash)
      await noteRevoked(started)
      practices.set(
        day,
        runPractice({
          live: started,
          speed: how.speed,
          simulated,
          url,
          morningUntil: simulated ? (files?.morningUntil() ?? null) : null,
          onMorningPlayed: () => files?.keepMorning(null),
          onProgress: percent => {
            for (const listener of listeners) listener(day, percent)
          },
          saveClock: () => days.saveClock(day, started.now(), started.speed()),
        }),
      )
      logger.debug({ day, simulated: how.simulated }, 'a practice day runs')
      return { ok: true }
    })

  async function openNow(record: DayRecord): Promise<Done> {
    const started = await live.start(record, realClock(wall))
    if (started.closed()) return no('day', 'the log of this day says that it is closed')
    await started.begin(record.planHash)
    await noteRevoked(started)
    logger.debug({ day: record.id }, 'an election day runs')
    return { ok: true }
  }

  /**
   * What was revoked or replaced while the day didn't run is in its log from here on, once: nobody waits for its voice. The state
   * forgets devices of a precinct whose list is full; there one that it doesn't know may have been noted before.
   */
  async function noteRevoked({ day, state }: LiveDay): Promise<void> {
    const gone = (await access.devicesOf(day)).filter(d => d.revokedAt !== null || d.replacedAt !== null)
    if (gone.length === 0) return
    await deps.log.decide(day, now => ({
      entries: gone
        .filter(({ id, precinct }) => {
          const devices = state().precincts.get(precinct)?.devices
          const known = devices?.find(d => d.id === id)
          return devices !== undefined && (known ? !known.revoked : devices.length < LIMITS.devices)
        })
        .map(({ id, precinct }) => systemEntry('DeviceRevoked', now, { device: id }, precinct)),
      result: null,
    }))
  }

  /** A running practice day with live tablets and its morning behind it; else why not. */
  function steered(day: string): Practice | Refused {
    const practice = practices.get(day)
    if (!practice) return no('day', 'this day is no running practice day')
    if (practice.morningUntil() !== null)
      return no(
        'day',
        `its morning is being played, up to ${hhmmOf(practice.morningUntil()!, practice.live.plan.timeZone)}`,
      )
    return practice
  }

  const kept = keptDays({
    days,
    access,
    live,
    practiceOf: day => practices.get(day) ?? null,
    hasTablets: day => filesOf(day)?.hasTablets() ?? false,
  })
  return {
    ...kept,
    // Not while the day is being opened: it would be too late for the log's note, and too early for the command.
    revoke: (day, device) => withDay(day, () => kept.revoke(day, device)),
    open: day =>
      withDay(day, async (record): Promise<Done> => {
        if (record.kind !== 'election')
          return no('day', 'this is a practice day: it is practised, not opened')
        const refused = closedAlready(record)
        if (refused) return refused
        if (live.running.has(day)) return no('day', 'this day is running')
        return openNow((await days.open(day, wall())) ?? record)
      }),
    practise,
    setSpeed: (day, speed) =>
      withDay(day, async (): Promise<Done> => {
        const practice = steered(day)
        if ('ok' in practice) return practice
        if (practice.trouble() !== null) return no('day', practice.trouble()!)
        practice.setSpeed(speed)
        return { ok: true }
      }),
    switchFault: (day, fault) =>
      withDay(day, async (): Promise<Done> => {
        const practice = steered(day)
        if ('ok' in practice) return practice
        if (!practice.live.index.precincts.has(fault.precinct))
          return no('precinct', 'there is no such precinct in this day’s plan')
        const simulator = practice.simulator()
        if (!simulator) return no('day', 'no simulated tablets speak on this day')
        const ordered = await simulator.order(fault)
        return ordered.ok ? ordered : no(ordered.path, ordered.message)
      }),
    close: day =>
      withDay(day, async (record): Promise<Done> => {
        const refused = closedAlready(record)
        if (refused) return refused
        if (!live.running.has(day) && !(await days.begun(day)))
          return no('day', 'this day was never run: there is nothing to close')
        await practices.get(day)?.stop()
        practices.delete(day)
        await live.close(record)
        filesOf(day)?.remove()
        logger.debug({ day }, 'a day was closed')
        return { ok: true }
      }),
    listening,
    resume: async (only, say) => {
      const all = (await days.list()).filter(d => d.closedAt === null && (only === null || d.id === only))
      if (only !== null && !all.some(d => d.openedAt !== null || d.kind === 'practice'))
        return no('day', `SUNUP_DAY ${only} is not an open day of this database.`)
      for (const record of all) {
        if (record.kind === 'practice') {
          const line = `${record.id} is a practice day: it runs when somebody practises it, on the setup page or by npm run demo -- --plan DIR.`
          if (only !== null) return no('day', line)
          say(line)
          continue
        }
        if (record.openedAt === null) {
          say(`${record.id} is kept: it runs when an administrator opens it on the setup page.`)
          continue
        }
        const done = await withDay(record.id, openNow)
        // Its end was written, and the server killed before it was noted.
        if (live.isClosed(record.id)) continue
        if (!done.ok) return done
        say(`running ${record.id}, entry ${live.running.get(record.id)?.cursor() ?? 0}`)
      }
      return { ok: true }
    },
    ready: async day => practices.get(day)?.ready(),
    onMorning: listener => void listeners.add(listener),
    stop: async () => {
      await Promise.allSettled(busy.values())
      await Promise.all([...practices.values()].map(p => p.stop()))
    },
  }
}
