import { type ChildProcess, spawn } from 'node:child_process'
import { createInterface } from 'node:readline'
import type { Plan } from './domain/plan/plan.ts'
import type { Instant } from './domain/time.ts'
import type { trainerFaults } from './protocol/setup.ts'
import { programArgs } from './where.ts'

/**
 * The simulator of one practice day: a program of its own that speaks the devices' public link only. It is told
 * plan and orders on its standard input and ends with it, so it never outlives us.
 */
export type Simulator = {
  /** All that the tablets had to say by then is with the office; 0: they are not linked yet. */
  settled(): Instant
  ended(): boolean
  order(fault: { precinct: string; what: (typeof trainerFaults)[number] }): Promise<Ordered>
  /** Resolves when no tablet has anything under way, and none begins to; or they have ended. */
  hush(): Promise<void>
  /** They speak again at this speed, and date what was before by it alone (DayClock.forgetSpeeds). */
  speak(speed: number): void
  stop(): Promise<void>
}
type Ordered = { ok: true } | { ok: false; path: string; message: string }

export type SimulatorSetting = {
  url: string
  plan: Plan
  seed: number
  /** Files of its own: keys and orders. */
  tablets: string
  orders: string
  /** A line about a tablet, or of its stderr. */
  onSaid(line: string): void
  onEnded(): void
}

const ANSWER_MS = 10_000
const gone: Ordered = {
  ok: false,
  path: '',
  message: 'the simulated tablets have ended: practise the day again',
}

/** What a line of the simulator says; null: it is none of its answers (a warning of the platform). */
function saidIn(line: string): Said | null {
  try {
    return JSON.parse(line) as Said
  } catch {
    return null
  }
}

export function startSimulator(s: SimulatorSetting): Simulator {
  // It calls this very machine, where the certificate of the public name can't be good.
  const here = s.url.startsWith('https:')
  const args = [
    ...(here ? ['--no-warnings'] : []),
    ...programArgs('simulator.js', 'seed/simulator/run.ts'),
    ...['--url', s.url, '--plan', '-', '--state', s.tablets, '--orders', s.orders],
    ...['--seed', String(s.seed), '--stdin'],
    // The link's library doesn't heed the variable below, which enrolling does.
    ...(here ? ['--any-certificate'] : []),
  ]
  const child = spawn(process.execPath, args, {
    stdio: ['pipe', 'pipe', 'pipe'],
    ...(here ? { env: { ...process.env, NODE_TLS_REJECT_UNAUTHORIZED: '0' } } : {}),
  })
  let settled = 0
  let over = false
  let stopping = false
  let orders = 0
  const waiting = new Map<number, (answer: Ordered) => void>()

  child.stdin.on('error', () => {})
  child.stdin.write(`${JSON.stringify({ plan: s.plan })}\n`)
  createInterface({ input: child.stderr }).on('line', line => s.onSaid(line))
  createInterface({ input: child.stdout }).on('line', line => {
    const said = saidIn(line)
    if (said === null) return s.onSaid(line)
    if (said.settled !== undefined) settled = said.settled
    if (said.why !== undefined) s.onSaid(`the tablet of ${said.notEnrolled ?? said.waiting}: ${said.why}`)
    if (said.quiet) quiet()
    if (said.order === undefined) return
    waiting.get(said.order)?.(said.refused ? { ok: false, ...said.refused } : { ok: true })
    waiting.delete(said.order)
  })
  let quiet = () => {}
  const ended = new Promise<void>(resolve => {
    const end = () => {
      if (over) return
      over = true
      for (const answer of waiting.values()) answer(gone)
      waiting.clear()
      resolve()
      if (!stopping) s.onEnded()
    }
    child.once('exit', end)
    child.once('error', error => {
      s.onSaid(error.message)
      end()
    })
  })

  return {
    settled: () => settled,
    ended: () => over,
    order: fault => {
      if (over) return Promise.resolve(gone)
      orders += 1
      const order = orders
      return new Promise<Ordered>(resolve => {
        const late = setTimeout(() => {
          waiting.delete(order)
          resolve({ ok: false, path: '', message: 'the simulated tablets did not answer; try again' })
        }, ANSWER_MS)
        waiting.set(order, answer => {
          clearTimeout(late)
          resolve(answer)
        })
        child.stdin.write(`${JSON.stringify({ order, fault })}\n`)
      })
    },
    hush: () => {
      const hushed = new Promise<void>(resolve => {
        quiet = resolve
      })
      child.stdin.write(`${JSON.stringify({ hush: true })}\n`)
      return Promise.race([hushed, ended])
    },
    speak: speed => void child.stdin.write(`${JSON.stringify({ speak: speed })}\n`),
    stop: async () => {
      stopping = true
      await endChild(child, ended, over)
    },
  }
}

/** A JSON line of the simulator: seed/simulator/run.ts and play.ts. */
type Said = {
  settled?: number
  notEnrolled?: string
  waiting?: string
  why?: string
  order?: number
  quiet?: true
  refused?: { path: string; message: string }
}

async function endChild(child: ChildProcess, ended: Promise<void>, over: boolean): Promise<void> {
  if (over) return
  child.kill('SIGTERM')
  const forced = setTimeout(() => child.kill('SIGKILL'), 3_000)
  await ended
  clearTimeout(forced)
}
