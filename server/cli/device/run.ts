import type { Readable } from 'node:stream'
import { setTimeout as pause } from 'node:timers/promises'
import { z } from 'zod'
import { problemsOf, readAs } from '../../domain/log/check.ts'
import type { Problem } from '../../protocol/device.ts'
import { connectDevice, type Ended, type HeadlessDevice, type Told } from './connectDevice.ts'
import { type DeviceFile, openDeviceFile } from './deviceFile.ts'
import { linesOf } from './lines.ts'

export type Hands = { out(line: string): void; complain(line: string): void }
export type Way = 'socket' | 'http'

const spoken = z.union(
  [
    z.strictObject({ heartbeat: z.unknown() }),
    z.strictObject({ kind: z.string(), body: z.unknown().optional(), at: z.string().optional() }),
  ],
  'a line is {"kind": …, "body": {…}, "at"?: …} or {"heartbeat": {…}}',
)

/** How long `say` waits for the office, ms; what is kept by then goes with the next `say` or `run`. */
const PATIENCE_MS = 20_000
/** So many wait that nothing more is kept: looked again after this, ms. */
const FULL_MS = 100

/**
 * `sunup device run`: keeps and sends what comes as JSON Lines. 0: the lines ended, and the office has all; 1: some
 * line was not kept, some report was refused, or nothing more can be sent.
 * @throws FileTrouble where the file can't be used
 */
export async function run(path: string, input: Readable, way: Way, hands: Hands): Promise<number> {
  const file = openDeviceFile(path)
  const { device, refusals } = begin(file, way, hands)
  let bad = 0
  let over = false
  const read = async () => {
    let number = 0
    for await (const text of linesOf(input)) {
      if (over) break
      number++
      const problems = text === null ? tooLong : await speak(device, text, number, () => over, hands)
      if (problems.length === 0) continue
      bad++
      hands.out(JSON.stringify({ line: number, problems }))
      for (const { path, message } of problems)
        hands.complain(`line ${number}: ${path ? `${path}: ` : ''}${message}: nothing of this line was kept`)
    }
    return device.settled()
  }
  try {
    const ended = await Promise.race([read(), device.ended])
    if (ended) hands.complain(endedWords(ended, path, file))
    return ended || bad > 0 || refusals() > 0 ? 1 : 0
  } finally {
    over = true
    input.destroy()
    device.close()
    file.close()
  }
}

/**
 * `sunup device say`: one report. 0: the office has it, and all before it; 1: it was refused; 3: it is kept and the
 * office was not reached yet. @throws FileTrouble where the file can't be used
 */
export async function say(
  path: string,
  report: { kind: string; body: string; at: string | undefined },
  way: Way,
  hands: Hands,
): Promise<number> {
  const file = openDeviceFile(path)
  const { device, refusals } = begin(file, way, hands)
  try {
    const { kind, body, at } = report
    const given: unknown = parse(body)
    if (given === undefined) {
      hands.complain(
        `BODY is not JSON: ${body.slice(0, 60)}; in a shell it goes in single quotes, '{"inLine": 4}'.`,
      )
      return 1
    }
    const said = device.say(kind, given, at)
    if (!said.ok) {
      if ('full' in said)
        hands.complain(`${said.full} reports wait already: sunup device run sends them first.`)
      else for (const { path, message } of said.problems) hands.complain(`${flagOf(path)}: ${message}`)
      return 1
    }
    hands.out(JSON.stringify({ number: said.number }))
    const ended = await Promise.race([device.settled(), pause(PATIENCE_MS, 'late' as const, { ref: false })])
    if (ended === 'late') {
      hands.complain(
        `Kept as number ${said.number}. The office has not answered yet: it goes with the next say or run.`,
      )
      return 3
    }
    if (ended) hands.complain(endedWords(ended, path, file))
    return ended || refusals() > 0 ? 1 : 0
  } finally {
    device.close()
    file.close()
  }
}

/** Joins, and tells all but what only a screen needs. */
function begin({ head, store }: DeviceFile, way: Way, { out }: Hands) {
  let refused = 0
  let end: (why: Ended) => void = () => {}
  const ended = new Promise<Ended>(resolve => {
    end = resolve
  })
  const tell = (told: Told) => {
    if ('ended' in told) return end(told.ended)
    if ('refused' in told) refused++
    if (!('plan' in told || 'speed' in told)) out(JSON.stringify(told))
  }
  const device = connectDevice({ url: head.url, key: head.key, store, link: way, tell })
  return { device: { ...device, ended }, refusals: () => refused }
}

/** @returns what is wrong with a line; none: it is kept */
async function speak(
  device: HeadlessDevice,
  text: string,
  line: number,
  over: () => boolean,
  { out }: Hands,
): Promise<readonly Problem[]> {
  if (text.trim() === '') return []
  const json = parse(text)
  if (json === undefined) return [{ path: '', message: 'not JSON: each line is one whole object' }]
  const parsed = readAs(spoken, json)
  if (!parsed.success) return problemsOf(parsed.error)
  if ('heartbeat' in parsed.data) {
    const beat = device.beat(parsed.data.heartbeat)
    return beat.ok
      ? []
      : beat.problems.map(p => ({ ...p, path: ['heartbeat', p.path].filter(Boolean).join('.') }))
  }
  const { kind, body = {}, at } = parsed.data
  for (;;) {
    const said = device.say(kind, body, at)
    if (said.ok) out(JSON.stringify({ line, number: said.number }))
    if (!('full' in said)) return said.ok ? [] : said.problems
    await pause(FULL_MS)
    if (over()) return []
  }
}

function endedWords(ended: Ended, path: string, { head, store }: DeviceFile): string {
  const waits =
    store.waiting() === 0
      ? 'Nothing waited.'
      : `Not with the office, and kept in ${path}: ${store.waiting()}.`
  switch (ended) {
    case 'key-refused':
      return `The office does not take the key in ${path}: the device was revoked, or the office is another system now. ${waits} Enrol into a new file with a fresh code of ${head.day} for ${head.precinct}.`
    case 'closed':
      return `The day ${head.day} is closed: the office takes no more reports for it. ${waits}`
    case 'storage':
      return `${path} can't be written any more: make room, then start again. ${waits}`
    case 'left':
      return waits
  }
}

const tooLong: readonly Problem[] = [{ path: '', message: 'longer than any report: one line is one report' }]

/** What was typed, for a problem's path. */
function flagOf(path: string): string {
  return path === 'at' ? '--at' : path === 'kind' ? 'KIND' : path.replace(/^body\b/, 'BODY')
}

function parse(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}
