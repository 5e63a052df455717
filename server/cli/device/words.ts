import type { Readable } from 'node:stream'
import { parseArgs } from 'node:util'
import { enrol } from './enrol.ts'
import { FileTrouble } from './fileLock.ts'
import { type Hands, run, say } from './run.ts'

/** The words of the `sunup` command about a device without a screen. */

export const DEVICE_USAGE = `sunup device enrol --url URL --code CODE --file FILE [--label NAME]
                              a program becomes a device of one precinct; FILE (0600) keeps its key and reports
sunup device say --file FILE KIND [BODY] [--at TIME] [--http]
                              one report of a program, BODY as JSON
sunup device run --file FILE [--http]
                              reports and heartbeats of a program, as JSON Lines on standard input
sunup device help             more about these three`

const MORE = `${DEVICE_USAGE}

A report is numbered and on the disk before it is sent; what is not with the office yet is sent by the next say or
run, with the same number, also after a kill. Kinds, their bodies and the link are described at URL/api. TIME is
RFC 3339 by this machine's clock, 2026-11-03T09:15:00-05:00; without it: now. --http speaks over plain requests where
a socket can't pass.

run reads a line a report, {"kind": "LineReported", "body": {"inLine": 4}, "at"?: TIME}, or a heartbeat, what is so
now, {"heartbeat": {"device": {"battery": 81}}}. It answers with a JSON line each:
  {"line": 3, "number": 7}                  line 3 is kept as number 7
  {"line": 4, "problems": [{path, message}]}  line 4 is not kept: mend it and say it again
  {"upTo": 7, "waiting": 0}                 the office has dealt with 7 and all before it
  {"refused": 6, "problems": […]}           the office refused number 6, and has kept it aside
  {"heard": TIME}                           a heartbeat was heard, at this time of the day
  {"notice": {id, at, text, acknowledge}}   the desk has something to say to this precinct
  {"linked": true}                          the link to the office is there, or has gone
  {"turnedAway": […]}                       the day doesn't run now: asked again each minute
  {"stuck": {wanted, holds}}                the office asks for a number that FILE no longer holds
Exit codes: 0 the office has all; 1 something was not kept or refused; 2 these words; 3 (say) kept, not with the
office yet.`

/** The words after `sunup device`; the exit code. */
export async function deviceWords(words: readonly string[], input: Readable, hands: Hands): Promise<number> {
  const [first, ...rest] = words
  if (first === 'help' || words.includes('--help')) {
    hands.out(MORE)
    return 0
  }
  const asked = read(first, rest)
  if ('why' in asked) {
    hands.complain(asked.why)
    hands.complain(DEVICE_USAGE)
    return 2
  }
  try {
    return await asked.run(input, hands)
  } catch (error) {
    if (!(error instanceof FileTrouble)) throw error
    hands.complain(error.message)
    return 1
  }
}

type Asked = { run(input: Readable, hands: Hands): Promise<number> } | { why: string }

function read(first: string | undefined, rest: string[]): Asked {
  if (first !== 'enrol' && first !== 'say' && first !== 'run')
    return { why: `sunup device ${first ?? ''}: what follows is enrol, say or run.` }
  const text = { type: 'string' } as const
  try {
    if (first === 'enrol') {
      const { values } = parseArgs({
        args: rest,
        options: { url: text, code: text, file: text, label: text },
      })
      return enrolAsked(values)
    }
    const options = { file: text, at: text, http: { type: 'boolean', default: false } } as const
    const { values, positionals } = parseArgs({ args: rest, options, allowPositionals: first === 'say' })
    const { file, at } = values
    if (!file) return { why: '--file is missing: the file that sunup device enrol made.' }
    const way = values.http ? 'http' : 'socket'
    if (first === 'run') {
      if (at !== undefined) return { why: '--at belongs to say: in run each line has its own "at".' }
      return { run: (input, hands) => run(file, input, way, hands) }
    }
    const [kind, body = '{}', tooMuch] = positionals
    if (kind === undefined) return { why: 'KIND is missing, such as LineReported.' }
    if (tooMuch !== undefined)
      return { why: `"${tooMuch}" is one word too many: BODY goes in single quotes.` }
    return { run: (_, hands) => say(file, { kind, body, at }, way, hands) }
  } catch (error) {
    return { why: error instanceof Error ? error.message : String(error) }
  }
}

function enrolAsked(values: Partial<Record<'url' | 'code' | 'file' | 'label', string>>): Asked {
  const { url, code, file, label = 'a program' } = values
  if (!url || !code || !file) return { why: `${!url ? '--url' : !code ? '--code' : '--file'} is missing.` }
  if (!URL.canParse(url) || !/^https?:$/.test(new URL(url).protocol))
    return {
      why: `--url is the office's address, such as https://sunup.county.example, not ${url.slice(0, 60)}.`,
    }
  const { origin } = new URL(url)
  return { run: (_, hands) => enrol({ url: origin, code, file, label }, hands) }
}
