import { parseArgs } from 'node:util'
import { readPlanFolder } from '../../server/cli/planFiles.ts'
import { faultLine } from '../../server/domain/plan/checkFault.ts'
import { keysOf, readState } from './keys.ts'
import { play } from './play.ts'
import { practiceDay } from './script.ts'

/**
 * The practice day's simulator, a program of its own:
 *   node --import tsx seed/simulator/run.ts --url http://127.0.0.1:4180 --plan seed/ellery --state FILE --seed 1
 * It speaks only the public device link. JSON lines on stdout say how far it is (play.ts); SIGTERM ends it. Killed
 * and started again with the same state and seed it goes on from what the office has. With --stdin it also ends when its
 * standard input does, so it doesn't outlive a parent that was killed: two at once would speak for the same tablets.
 */

const USAGE = 'usage: --url URL --plan DIR --state FILE [--seed N] [--stdin]'

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
        seed: { type: 'string', default: '1' },
        stdin: { type: 'boolean', default: false },
      },
    })
    const { url, plan, state, seed } = values
    if (!url || !plan || !state || !URL.canParse(url) || !/^\d{1,9}$/.test(seed)) fail(USAGE)
    return { url: url.replace(/\/$/, ''), plan, state, seed: Number(seed), stdin: values.stdin }
  } catch (error) {
    fail(`${error instanceof Error ? error.message : error}; ${USAGE}`)
  }
}

const given = readArguments()
const read = readPlanFolder(given.plan)
if ('faults' in read) fail(read.faults.map(faultLine).join('\n'))
if (read.plan.kind !== 'practice')
  fail(`${given.plan}: this plan is of an election; only a practice day can be played`)
const kept = readState(given.state)
if ('problem' in kept) fail(kept.problem)

let stopped = false
let stop = () => {}
/** Nothing that was acknowledged is lost, and what was not is sent again: there is nothing to wait for. */
function end() {
  stopped = true
  stop()
  process.exit(0)
}
process.once('SIGTERM', end)
process.once('SIGINT', end)
process.stdout.once('error', end)
if (given.stdin) process.stdin.once('end', end).resume()

const tell = (line: Record<string, unknown>) => {
  process.stdout.write(`${JSON.stringify(line)}\n`)
}
const keys = await keysOf({
  url: given.url,
  path: given.state,
  state: kept.state,
  tell,
  stopped: () => stopped,
})
stop = play({ plan: read.plan, day: practiceDay(read.plan, given.seed), url: given.url, keys, tell }).stop
