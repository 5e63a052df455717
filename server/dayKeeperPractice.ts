import { setTimeout as sleep } from 'node:timers/promises'
import { type Simulator, type SimulatorSetting, startSimulator } from './dayKeeperSimulator.ts'
import type { Instant } from './domain/time.ts'
import { PAUSED, STILL } from './live/clock.ts'
import type { LiveDay } from './live/liveDay.ts'
import { playQuickly } from './live/quickly.ts'

/**
 * A running practice day beside its live day: the speed it is to have, its simulator, and the quick morning.
 *
 * ```
 * practise ─▶ still ── tablets linked ─▶ morning, quickly ── up to `morningUntil` ─▶ at its speed
 *                └───────── simulator ends ─▶ stands still, with its trouble ── practise again ─┘
 * ```
 */
export type Practice = {
  live: LiveDay
  simulator(): Simulator | null
  speed(): number
  /** 0 stands still. Not while the morning is being played. */
  setSpeed(speed: number): void
  morningUntil(): Instant | null
  trouble(): string | null
  /** Resolves when the morning was played and the day runs at its speed; rejects where that can't be. */
  ready(): Promise<void>
  /** Starts the tablets again, after they have ended. */
  again(speed: number): void
  stop(): Promise<void>
}

export type PracticeSetting = {
  live: LiveDay
  speed: number
  /** null: nobody but people speaks. */
  simulated: Omit<SimulatorSetting, 'url' | 'onEnded'> | null
  /** Address of the server, once it listens. */
  url: Promise<string>
  /** Up to where the morning is still to be played; null: it goes on where it stands. */
  morningUntil: Instant | null
  onMorningPlayed(): void
  /** How much of the morning is played, in percent, every other second. */
  onProgress?(percent: number): void
  saveClock(): Promise<void>
}

/** Day seconds per second while the morning is played: four hours in a quarter of a minute. */
const MORNING_SPEED = 900
const SAVE_CLOCK_MS = 2_000
const TOLD_EVERY_MS = 2_000
const LOOK_MS = 20
/** A day that goes on waits so long for its tablets; then it runs, and who is missing is seen to be. */
const LINKED_WITHIN_MS = 60_000
const ENDED = 'The simulated tablets ended; practise the day again to start them anew.'

export function runPractice(s: PracticeSetting): Practice {
  const { live } = s
  let speed = s.speed
  let simulator: Simulator | null = null
  let { morningUntil } = s
  let trouble: string | null = null
  let stopped = false
  let said = ''

  const setClock = () => live.clock.setSpeed(speed === 0 ? PAUSED : speed)
  const ended = () => stopped || (simulator?.ended() ?? false)

  async function bringUp() {
    if (s.simulated) {
      const setting = s.simulated
      live.clock.setSpeed(STILL)
      const url = await Promise.race([s.url, stopping])
      if (url === null) return
      simulator = startSimulator({
        ...setting,
        url,
        onSaid: line => {
          said = line
          setting.onSaid(line)
        },
        onEnded: () => {
          trouble = said === '' ? ENDED : `${ENDED} Its last words: ${said}`
          // Nothing is held against tablets that are not there.
          live.clock.setSpeed(PAUSED)
        },
      })
      const tablets = simulator
      await until(() => tablets.settled() > 0 || ended(), morningUntil === null ? LINKED_WITHIN_MS : null)
      if (morningUntil !== null) await playMorning(morningUntil, tablets)
      // What a tablet sent before is dated by the speeds that were, so nothing may be under way when they are forgotten.
      await tablets.hush()
      if (ended()) return
    }
    morningUntil = null
    s.onMorningPlayed()
    setClock()
    // The quick morning is over: who reports now means minutes of the day as it runs now.
    live.clock.forgetSpeeds()
    simulator?.speak(live.clock.speed())
  }

  async function playMorning(until: Instant, tablets: Simulator) {
    if (live.now() >= until || ended()) return
    const from = live.now()
    let told = performance.now()
    await playQuickly({
      clock: live.clock,
      until,
      speed: MORNING_SPEED,
      doneBy: () => Math.min(tablets.settled(), live.judgedAt()),
      ended,
      onProgress: now => {
        if (performance.now() - told < TOLD_EVERY_MS) return
        told = performance.now()
        s.onProgress?.(Math.round((100 * (now - from)) / (until - from)))
      },
    })
    if (ended() && !stopped) live.clock.setSpeed(PAUSED)
  }

  let stopNow: (none: null) => void = () => {}
  const stopping = new Promise<null>(resolve => {
    stopNow = resolve
  })
  let up: Promise<void> = bringUp()
  up.catch(() => {})
  const saving = setInterval(() => void s.saveClock().catch(() => {}), SAVE_CLOCK_MS)

  return {
    live,
    simulator: () => simulator,
    speed: () => speed,
    setSpeed: next => {
      speed = next
      setClock()
      simulator?.speak(live.clock.speed())
    },
    morningUntil: () => morningUntil,
    trouble: () => trouble,
    ready: async () => {
      await up
      if (trouble !== null) throw new Error(trouble)
    },
    again: next => {
      speed = next
      trouble = null
      said = ''
      up = bringUp()
      up.catch(() => {})
    },
    stop: async () => {
      stopped = true
      stopNow(null)
      clearInterval(saving)
      await simulator?.stop()
      await up.catch(() => {})
    },
  }
}

/** @param ms null: however long it takes */
async function until(holds: () => boolean, ms: number | null): Promise<void> {
  const from = performance.now()
  while (!holds() && (ms === null || performance.now() - from < ms)) await sleep(LOOK_MS)
}
