import { readFileSync, renameSync, writeFileSync } from 'node:fs'
import { setTimeout as sleep } from 'node:timers/promises'
import { z } from 'zod'
import { code } from '../../server/domain/log/fields.ts'
import { enrolAnswer } from '../../server/protocol/device.ts'

/**
 * The simulator's own file: for each precinct an enrolment code to be spent, or the key that was got for one.
 * `{"harbor-hall": {"code": "…"}, "gull-point": {"key": "…"}}`. Readable by its owner alone (0600).
 */
const stateFile = z.record(
  code,
  z.union([z.strictObject({ code: z.string() }), z.strictObject({ key: z.string() })]),
)
export type State = z.output<typeof stateFile>

export function readState(path: string): { state: State } | { problem: string } {
  try {
    const parsed = stateFile.safeParse(JSON.parse(readFileSync(path, 'utf8')))
    if (parsed.success) return { state: parsed.data }
    return { problem: `${path}: for each precinct {"code": …} or {"key": …}` }
  } catch (error) {
    return { problem: `${path}: ${error instanceof Error ? error.message : error}` }
  }
}

/** Written whole beside it and put in its place, so a kill leaves the old file or the new one. */
function writeState(path: string, state: State): void {
  writeFileSync(`${path}.new`, `${JSON.stringify(state, null, 2)}\n`, { mode: 0o600 })
  renameSync(`${path}.new`, path)
}

/** Longest wait between two tries. */
const LONGEST_WAIT_MS = 30_000

/**
 * Keys for all precincts of a state: codes are spent one after another, and each key is saved before the next
 * code is spent, since a code works once. A code that is refused leaves its precinct out, and says so. An
 * office that isn't there yet, or asks to wait, is tried again until `stopped`.
 */
export async function keysOf(s: {
  url: string
  path: string
  state: State
  tell: (line: Record<string, unknown>) => void
  stopped: () => boolean
}): Promise<Map<string, string>> {
  const keys = new Map<string, string>()
  let state = s.state
  for (const [precinct, has] of Object.entries(s.state)) {
    if ('key' in has) {
      keys.set(precinct, has.key)
      continue
    }
    for (let wait = 250; !s.stopped(); wait = Math.min(LONGEST_WAIT_MS, wait * 2)) {
      const tried = await enrol(s.url, has.code)
      if ('key' in tried) {
        keys.set(precinct, tried.key)
        state = { ...state, [precinct]: { key: tried.key } }
        writeState(s.path, state)
        break
      }
      if (tried.again === null) {
        s.tell({ notEnrolled: precinct, why: tried.why })
        break
      }
      s.tell({ waiting: precinct, why: tried.why })
      await sleep(Math.min(LONGEST_WAIT_MS, tried.again ?? wait))
    }
  }
  return keys
}

type Tried =
  | { key: string }
  | {
      why: string /** Wait so many ms; undefined: a while; null: it is no use. */
      again: number | undefined | null
    }

async function enrol(url: string, enrolmentCode: string): Promise<Tried> {
  try {
    const response = await fetch(`${url}/api/v1/enrol`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ code: enrolmentCode, label: 'Practice tablet' }),
      signal: AbortSignal.timeout(10_000),
    })
    const answer = enrolAnswer.safeParse(await response.json())
    if (!answer.success) return { why: `answer ${response.status} was not understood`, again: undefined }
    if (answer.data.ok) return { key: answer.data.key }
    const why = answer.data.problems.map(p => p.message).join('; ')
    if (response.status === 429 || response.status >= 500) return { why, again: answer.data.retryAfter }
    return { why, again: null }
  } catch (error) {
    return { why: String(error), again: undefined }
  }
}
