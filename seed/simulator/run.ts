import { createInterface, type Interface } from 'node:readline'
import { parseArgs } from 'node:util'
import { readPlanFolder } from '../../server/cli/planFiles.ts'
import { faultLine } from '../../server/domain/plan/checkFault.ts'
import { type Plan, plan as planSchema } from '../../server/domain/plan/plan.ts'
import { keysOf, readState } from './keys.ts'
import { hushLine, orderLine, readOrders, writeOrders } from './orders.ts'
import { type Played, play } from './play.ts'
import { practiceDay } from './script.ts'
import type { Sense } from './trainer.ts'

/**
 * The practice day's simulator, a program of its own:
 *   node --import tsx seed/simulator/run.ts --url http://127.0.0.1:4180 --plan seed/ellery --state FILE --seed 1
 * It speaks only the public device link. JSON lines on stdout say how far it is (play.ts); SIGTERM ends it. Killed
 * and started again with the same state, orders and seed it goes on from what the office has. With --stdin it also ends
 * when its standard input does, so it doesn't outlive a parent that was killed: two at once would speak for the same
 * tablets. On it come JSON lines: with `--plan -` first {plan}, then a trainer's orders {order, fault: {precinct, what}},
 * each answered by {order} or {order, refused: {path, message}}; and {hush: true}, answered by {quiet: true}, with
 * {speak: SPEED} after it (play.ts).
 */

const USAGE =
  'usage: --url URL --plan DIR|- --state FILE [--orders FILE] [--seed N] [--stdin] [--any-certificate]'

function fail(message: string): never {
  process.stderr.write(`${message}\n`)
  process.exit(1)
}

function readArguments() {
  try {
    const { values } = parseArgs({
      options: {
        url: { type: 'string' },
        plan: { type: 'string' },
        state: { type: 'string' },
        orders: { type: 'string' },
        seed: { type: 'string', default: '1' },
        stdin: { type: 'boolean', default: false },
        'any-certificate': { type: 'boolean', default: false },
      },
    })
    const { url, plan, state, seed, orders, stdin } = values
    const seedOk = /^\d{1,10}$/.test(seed) && Number(seed) < 2 ** 32
    if (!url || !plan || !state || !URL.canParse(url) || !seedOk) fail(USAGE)
    if ((plan === '-' || orders !== undefined) && !stdin) fail(USAGE)
    const anyCertificate = values['any-certificate']
    return { url: url.replace(/\/$/, ''), plan, state, orders, seed: Number(seed), stdin, anyCertificate }
  } catch (error) {
    fail(`${error instanceof Error ? error.message : error}; ${USAGE}`)
  }
}

/** Lines of standard input; those that come before somebody listens are kept. */
function linesOf(): { next(): Promise<string>; each(use: (line: string) => void): void } {
  const waiting: string[] = []
  let use: ((line: string) => void) | null = null
  const lines: Interface = createInterface({ input: process.stdin })
  lines.on('line', line => (use ? use(line) : waiting.push(line)))
  lines.once('close', end)
  return {
    next: () =>
      new Promise(resolve => {
        const first = waiting.shift()
        if (first !== undefined) return resolve(first)
        use = line => {
          use = null
          resolve(line)
        }
      }),
    each: wanted => {
      for (const line of waiting.splice(0)) wanted(line)
      use = wanted
    },
  }
}

async function planOf(): Promise<Plan> {
  if (given.plan !== '-') {
    const read = readPlanFolder(given.plan)
    return 'faults' in read ? fail(read.faults.map(faultLine).join('\n')) : read.plan
  }
  const parsed = planSchema.safeParse((parse(await lines!.next()) as { plan?: unknown } | null)?.plan)
  return parsed.success ? parsed.data : fail('standard input: the first line holds no plan')
}

function parse(line: string): unknown {
  try {
    return JSON.parse(line)
  } catch {
    return null
  }
}

let stopped = false
let played: Played | null = null
/** Nothing that was acknowledged is lost, and what was not is sent again: there is nothing to wait for. */
function end() {
  stopped = true
  played?.stop()
  process.exit(0)
}
process.once('SIGTERM', end)
process.once('SIGINT', end)
process.stdout.once('error', end)

const given = readArguments()
const lines = given.stdin ? linesOf() : null
const plan = await planOf()
if (plan.kind !== 'practice')
  fail(`${given.plan}: this plan is of an election; only a practice day can be played`)
const kept = readState(given.state)
if ('problem' in kept) fail(kept.problem)
const ordered = given.orders === undefined ? { orders: [] } : readOrders(given.orders)
if ('problem' in ordered) fail(ordered.problem)

const tell = (line: Record<string, unknown>) => {
  process.stdout.write(`${JSON.stringify(line)}\n`)
}
const day = practiceDay(plan, given.seed, ordered.orders)
const { orders } = ordered

function order(fault: { precinct: string; what: (typeof orders)[number]['what'] }): Sense {
  const at = played?.changeableFrom(fault.precinct) ?? null
  if (at === null) return { ok: false, path: 'precinct', message: 'the tablets are not linked yet' }
  const next = { ...fault, at }
  const sense = day.order(next)
  if (!sense.ok) return sense
  orders.push(next)
  if (given.orders !== undefined) writeOrders(given.orders, orders)
  return sense
}

lines?.each(line => {
  const hush = hushLine.safeParse(parse(line))
  if (hush.success) {
    if ('speak' in hush.data) played?.speak(hush.data.speak)
    else if (played) played.hush(() => tell({ quiet: true }))
    else tell({ quiet: true })
    return
  }
  const parsed = orderLine.safeParse(parse(line))
  if (!parsed.success) return
  const sense = order(parsed.data.fault)
  const number = parsed.data.order
  tell(
    sense.ok ? { order: number } : { order: number, refused: { path: sense.path, message: sense.message } },
  )
})

const keys = await keysOf({
  url: given.url,
  path: given.state,
  state: kept.state,
  tell,
  stopped: () => stopped,
})
played = play({ plan, day, url: given.url, anyCertificate: given.anyCertificate, keys, tell })
