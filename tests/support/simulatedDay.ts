import { type ChildProcess, spawn } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { readPlanFolder } from '../../server/cli/planFiles.ts'
import type { Stored } from '../../server/domain/log/dayLog.ts'
import type { Plan } from '../../server/domain/plan/plan.ts'
import { instantOf } from '../../server/domain/plan/zone.ts'
import { playQuickly } from '../../server/live/quickly.ts'
import { checkoutFolder } from '../../server/where.ts'
import { freshDatabase } from './database.ts'
import { type RunningSunup, runSunup, until } from './runSunup.ts'

/** The real server on a real Postgres, and the simulator's tablets of a plan speaking to it through the public link. */
export type SimulatedDay = {
  plan: Plan
  running: RunningSunup
  /** Plays on to a local time of the day, at most at `speed`, as fast as tablets and rules keep up. */
  play(time: string, speed: number): Promise<void>
  /** The tablets stop; what they had said is said. */
  quiet(): void
  /** The whole log. */
  stored(): Promise<Stored[]>
  /** Ends everything, whatever happened. */
  stop(): Promise<void>
}

/** Starts it with the day standing still. `watch` runs before the first tablet is linked. */
export async function simulateDay(
  planFolder: string,
  seed: number,
  watch: (running: RunningSunup) => Promise<void> = async () => {},
): Promise<SimulatedDay> {
  const read = readPlanFolder(planFolder)
  if ('faults' in read) throw new Error(JSON.stringify(read.faults))
  const { plan } = read
  const running = await runSunup({
    url: await freshDatabase(),
    plan,
    speed: 0.001,
    deviceRate: { perSecond: 500, burst: 20_000 },
  })
  const folder = mkdtempSync(join(tmpdir(), 'sunup-simulated-'))
  let simulator: ChildProcess | undefined
  let settled = 0
  const stop = async () => {
    simulator?.kill('SIGKILL')
    await running.stop()
    rmSync(folder, { recursive: true, force: true })
  }
  try {
    const codes: Record<string, { code: string }> = {}
    for (const { code } of plan.precincts)
      codes[code] = { code: await running.sunup.access.issueCode(running.day, code) }
    const state = join(folder, 'simulator.json')
    writeFileSync(state, JSON.stringify(codes))
    await watch(running)
    const words = ['--url', running.url, '--plan', planFolder, '--state', state, '--seed', String(seed)]
    simulator = spawn(process.execPath, ['--import', 'tsx', 'seed/simulator/run.ts', ...words, '--stdin'], {
      cwd: checkoutFolder(),
      stdio: ['pipe', 'pipe', 'inherit'],
    })
    createInterface({ input: simulator.stdout! }).on('line', line => {
      const said = JSON.parse(line)
      if (said.settled) settled = said.settled
    })
    await until('the tablets are linked', () => settled > 0, 60_000)
  } catch (error) {
    await stop()
    throw error
  }
  const tablets = simulator
  return {
    plan,
    running,
    play: (time, speed) =>
      playQuickly({
        clock: running.clock,
        until: instantOf(plan.date, time, plan.timeZone),
        speed,
        doneBy: () => Math.min(settled, running.live.judgedAt()),
        ended: () => tablets.exitCode !== null,
      }),
    quiet: () => void tablets.kill('SIGTERM'),
    async stored() {
      let all: Stored[] = []
      for (;;) {
        const page = await running.sunup.log.read(running.day, all.length, 5_000)
        all = all.concat(page)
        if (page.length < 5_000) return all
      }
    },
    stop,
  }
}
