import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { existsSync, mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Readable } from 'node:stream'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { connectDevice, type Told } from '../../server/cli/device/connectDevice.ts'
import type { DeviceLink } from '../../server/cli/device/link.ts'
import { socketLink } from '../../server/cli/device/socketLink.ts'
import { memoryStore } from '../../server/cli/device/store.ts'
import { deviceWords } from '../../server/cli/device/words.ts'
import { fromRfc3339 } from '../../server/domain/time.ts'
import { deviceEvents } from '../../server/protocol/api/deviceEvents.ts'
import type { Exchange } from '../../server/protocol/api/socketEvent.ts'
import type { Heard, HeartbeatRequest, ReportRequest } from '../../server/protocol/device.ts'
import { checkoutFolder } from '../../server/where.ts'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import { enrolDevice, type RunningSunup, runSunup, until } from '../support/runSunup.ts'

/** The reference client, its command, and the examples of the device link, against the real server. */
let running: RunningSunup
const folder = mkdtempSync(join(tmpdir(), 'sunup-headless-'))
const children: ChildProcess[] = []

beforeAll(async () => {
  running = await runSunup({
    url: await freshDatabase(),
    plan: aPlan({ kind: 'election' }),
    startAt: fromRfc3339('2026-11-03T15:00:00Z'),
    deviceRate: { perSecond: 200, burst: 400 },
  })
})
afterAll(async () => {
  for (const child of children) child.kill('SIGKILL')
  await running.stop()
  rmSync(folder, { recursive: true })
})

/** What a device said, by the log: its numbers and figures in the order of the log. */
async function inLog(precinct: string, key: string) {
  const device = await running.sunup.access.deviceOfKey(key)
  const entries = (await running.sunup.log.readPrecinct(running.day, precinct, 5_000)).reverse()
  return entries
    .map(({ entry }) => entry)
    .filter(entry => entry.source === `device:${device!.id}` && entry.kind === 'LineReported')
    .map(({ number, body }) => [number, (body as { inLine: number }).inLine])
}

function linked(key: string): Promise<{ link: DeviceLink; heard: Heard[]; plans: unknown[] }> {
  const heard: Heard[] = []
  const plans: unknown[] = []
  return new Promise(resolve => {
    const link = socketLink({
      url: running.url,
      key,
      on: {
        plan: plan => plans.push(plan),
        heard: told => {
          heard.push(told)
          resolve({ link, heard, plans })
        },
      },
    })
  })
}

const deviceEvent = (name: string) => deviceEvents.find(e => e.event === name)!

describe('examples of the device link', () => {
  it('are answered as they say, one after another', async () => {
    const { link, heard, plans } = await linked(await enrolDevice(running, 'E-01'))
    expect([heard.length, plans.length]).toEqual([1, 1])
    const report = deviceEvent('report')
    expect(await link.report(report.example as ReportRequest)).toEqual(report.answerExample)
    const now = (exchanges: readonly Exchange[]) => exchanges.filter(e => e.when === undefined)
    for (const { name, message, answer } of now(report.more!))
      expect(await link.report(message as ReportRequest), name).toEqual(answer)
    const beat = deviceEvent('heartbeat')
    const said = [{ name: 'example', message: beat.example, answer: beat.answerExample }, ...now(beat.more!)]
    for (const { name, message, answer } of said)
      expect(timeless(await link.heartbeat(message as HeartbeatRequest)), name).toEqual(timeless(answer))
    link.close()
  })

  it('and those above the rate are told to wait', async () => {
    const { link } = await linked(await enrolDevice(running, 'E-01'))
    const flooded = (name: string) => deviceEvent(name).more!.find(e => e.when === 'flooded')!
    const many = Array.from({ length: 500 }, (_, i) => ({
      number: i + 1,
      at: '2026-11-03T14:02:07Z',
      kind: 'LineReported',
      body: { inLine: 3 },
    }))
    expect(await link.report({ reports: many })).toMatchObject({ ok: true, upTo: 500 })
    const { message, answer } = flooded('report')
    const told = await link.report(message as ReportRequest)
    expect(Object.keys(told!).sort()).toEqual(Object.keys(answer as object).sort())
    const beats = await Promise.all(
      Array.from({ length: 60 }, () => link.heartbeat(flooded('heartbeat').message as HeartbeatRequest)),
    )
    expect(beats.every(b => b?.ok || b?.retryAfter !== undefined)).toBe(true)
    link.close()
  })
})

function timeless(answer: unknown): unknown {
  return JSON.parse(JSON.stringify(answer), (key, value) => (key === 'recordedAt' ? 'a time' : value))
}

describe('the reference client', () => {
  const begin = (key: string, link: 'socket' | 'http' = 'socket') => {
    const told: Told[] = []
    const store = memoryStore(0)
    const device = connectDevice({ url: running.url, key, store, link, tell: t => told.push(t) })
    return { device, store, told }
  }

  it.each(['socket', 'http'] as const)(
    'P1 P5: by %s it empties its list in order, and shows what is refused',
    async way => {
      const key = await enrolDevice(running, 'E-02')
      const { device, store, told } = begin(key, way)
      for (let n = 1; n <= 450; n++)
        expect(device.say('LineReported', { inLine: n % 40 })).toEqual({ ok: true, number: n })
      expect(device.say('LineReported', { inLine: -1 })).toMatchObject({
        ok: false,
        problems: [{ path: 'body.inLine' }],
      })
      expect(device.say('VotesCounted', {})).toMatchObject({ ok: false, problems: [{ path: 'kind' }] })
      expect(device.say('LineReported', { inLine: 1 }, 'noon')).toMatchObject({
        ok: false,
        problems: [{ path: 'at' }],
      })
      expect(device.beat({ device: { battery: 81 } })).toEqual({ ok: true })
      expect(device.beat({ battery: 81 })).toMatchObject({ ok: false })
      expect(await device.settled()).toBeNull()
      expect(store.waiting()).toBe(0)
      expect(await inLog('E-02', key)).toEqual(Array.from({ length: 450 }, (_, i) => [i + 1, (i + 1) % 40]))
      expect(told.some(t => 'heard' in t)).toBe(true)
      expect(Math.abs(device.dayNow()! - running.live.now())).toBeLessThan(2_000)
      device.close()

      // The same list kept anew by another, as a copied file would be: its number is used, and it is told so.
      const copy = begin(key, way)
      copy.device.say('LineReported', { inLine: 39 })
      await copy.device.settled()
      expect(copy.told).toContainEqual({
        refused: 1,
        problems: [{ path: 'number', message: expect.stringContaining('number-reused') }],
      })
      expect(copy.device.say('LineReported', { inLine: 39 })).toEqual({ ok: true, number: 451 })
      await copy.device.settled()
      copy.device.close()
      expect((await inLog('E-02', key)).at(-1)).toEqual([451, 39])
    },
  )

  it.each(['socket', 'http'] as const)('P14: by %s it ends with its key, and keeps what waits', async way => {
    const key = await enrolDevice(running, 'E-03')
    const { device, store } = begin(key, way)
    device.say('LineReported', { inLine: 1 })
    await device.settled()
    const { id } = (await running.sunup.access.deviceOfKey(key))!
    await running.sunup.access.revoke(id)
    device.say('LineReported', { inLine: 2 })
    expect(await device.settled()).toBe('key-refused')
    expect([store.waiting(), store.done()]).toEqual([1, 1])
  })
})

describe('sunup device', () => {
  const file = (name: string) => join(folder, name)
  const tell = async (words: string[], lines: string[] = []) => {
    const out: string[] = []
    const err: string[] = []
    const code = await deviceWords(words, Readable.from(lines.map(line => `${line}\n`)), {
      out: line => out.push(line),
      complain: line => err.push(line),
    })
    return { code, out, err: err.join('\n') }
  }
  const enrolled = async (name: string, precinct: string) => {
    const code = await running.sunup.access.issueCode(running.day, precinct)
    const done = await tell(['enrol', '--url', `${running.url}/`, '--code', code, '--file', file(name)])
    expect(done).toMatchObject({ code: 0, err: '' })
    return JSON.parse(readFileSync(file(name), 'utf8').split('\n')[0]!).key as string
  }

  it('makes of a code a file that only its owner reads, and says why it can’t', async () => {
    await enrolled('a', 'E-01')
    expect(statSync(file('a')).mode & 0o777).toBe(0o600)
    const code = await running.sunup.access.issueCode(running.day, 'E-01')
    const there = await tell(['enrol', '--url', running.url, '--code', code, '--file', file('a')])
    expect(there).toMatchObject({ code: 1, err: expect.stringContaining('is there already') })
    const none = ['enrol', '--url', 'http://127.0.0.1:1', '--code', code, '--file', file('none')]
    expect(await tell(none)).toMatchObject({
      code: 1,
      err: expect.stringContaining('The code is still good'),
    })
    // Neither try has spent it.
    expect(await tell(['enrol', '--url', running.url, '--code', code, '--file', file('b')])).toMatchObject({
      code: 0,
    })
    const used = await tell(['enrol', '--url', running.url, '--code', code, '--file', file('none')])
    expect(used).toMatchObject({ code: 1, err: expect.stringContaining('sunup codes DAY prints fresh ones') })
    const short = await tell(['enrol', '--url', running.url, '--code', 'AB', '--file', file('none')])
    expect(short).toMatchObject({ code: 1, err: expect.stringContaining('--code: ') })
    expect(existsSync(file('none'))).toBe(false)
  })

  it('says one report, and names what is wrong with one', async () => {
    const key = await enrolled('say', 'E-01')
    const say = (...words: string[]) => tell(['say', '--file', file('say'), ...words])
    expect(await say('LineReported', '{"inLine": 4}')).toMatchObject({ code: 0, err: '' })
    expect(await say('LineReported', '{"inLine": 6}', '--http')).toMatchObject({ code: 0, err: '' })
    expect(await inLog('E-01', key)).toEqual([
      [1, 4],
      [2, 6],
    ])
    expect(await say('LineReported', '{inLine: 4}')).toMatchObject({
      code: 1,
      err: expect.stringContaining('not JSON'),
    })
    const wrong = await say('LineReported', '{"inLine": -4}')
    expect(wrong).toMatchObject({ code: 1, err: 'BODY.inLine: at least 0' })
    const noon = await say('LineReported', '{"inLine": 4}', '--at', 'noon')
    expect(noon).toMatchObject({ code: 1, err: expect.stringMatching(/^--at: /) })
    expect(await say('Voted', '{}')).toMatchObject({
      code: 1,
      err: expect.stringContaining('KIND: unknown kind'),
    })
  })

  it('runs through lines: each is kept or named with its field, and code 1 tells of the bad ones', async () => {
    const key = await enrolled('run', 'E-02')
    const run = (lines: string[]) => tell(['run', '--file', file('run')], lines)
    const good = await run([
      '{"kind": "LineReported", "body": {"inLine": 4}}',
      '',
      '{"heartbeat": {"device": {"battery": 81}}}',
      '{"kind": "LineReported", "body": {"inLine": 6}, "at": "2026-11-03T09:15:00-05:00"}',
    ])
    expect(good).toMatchObject({ code: 0, err: '' })
    const answers = good.out.map(line => JSON.parse(line))
    expect(answers).toContainEqual({ line: 1, number: 1 })
    expect(answers).toContainEqual({ line: 4, number: 2 })
    expect(answers).toContainEqual({ upTo: 2, waiting: 0 })
    expect(answers.filter(a => 'heard' in a)).toHaveLength(1)
    const bad = await run([
      '{"kind": "LineReported", "body": {"inLine": 7}}',
      '{"kind": "LineReported"',
      '{"kind": "LineReported", "body": {"inLine": 7.5}}',
      '{"kind": "Voted", "body": {}}',
      '{"inLine": 7}',
      '{"heartbeat": {"device": {"battery": 810}}}',
      `{"kind": "IncidentNoted", "body": {"category": "other", "what": "${'x'.repeat(70_000)}"}}`,
    ])
    expect(bad.code).toBe(1)
    expect(bad.err.split('\n').map(line => line.split(': ').slice(0, 2))).toEqual([
      ['line 2', 'not JSON'],
      ['line 3', 'body.inLine'],
      ['line 4', 'kind'],
      ['line 5', expect.stringMatching(/^a line is /)],
      ['line 6', 'heartbeat.device.battery'],
      ['line 7', 'longer than any report'],
    ])
    expect(await inLog('E-02', key)).toEqual([
      [1, 4],
      [2, 6],
      [3, 7],
    ])
  })

  it('P1: killed in the middle again and again it loses nothing that it had kept, and says nothing twice', async () => {
    const key = await enrolled('killed', 'E-03')
    const words = ['--import', 'tsx', 'server/cli/main.ts', 'device', 'run', '--file', file('killed')]
    const start = () => {
      const child = spawn(process.execPath, words, {
        cwd: checkoutFolder(),
        stdio: ['pipe', 'pipe', 'inherit'],
      })
      children.push(child)
      let out = ''
      child.stdout.on('data', chunk => {
        out += chunk
      })
      return { child, kept: () => [...out.matchAll(/"number":(\d+)/g)].map(m => Number(m[1])) }
    }
    let inLine = 0
    let last = 0
    for (let round = 0; round < 2; round++) {
      const { child, kept } = start()
      const speaking = setInterval(() => {
        for (let i = 0; i < 5; i++)
          child.stdin.write(`${JSON.stringify({ kind: 'LineReported', body: { inLine: ++inLine } })}\n`)
      }, 5)
      child.stdin.on('error', () => {})
      await until('some are kept', () => kept().length > 60, 30_000)
      clearInterval(speaking)
      child.kill('SIGKILL')
      await once(child, 'exit')
      expect(kept()[0]).toBe(last + 1)
      const held = readFileSync(file('killed'), 'utf8').split('\n').slice(0, -1)
      const said = held.map(line => JSON.parse(line).said).filter(Boolean)
      expect(said.length).toBeGreaterThanOrEqual(kept().at(-1)!)
      last = said.length
    }
    const { child } = start()
    child.stdin.end()
    expect(await once(child, 'exit')).toEqual([0, null])
    const said = readFileSync(file('killed'), 'utf8')
      .split('\n')
      .slice(0, -1)
      .map(line => JSON.parse(line).said)
      .filter(Boolean)
    expect(await inLog('E-03', key)).toEqual(said.map(({ number, body }) => [number, body.inLine]))
    expect(said.map(({ number }) => number)).toEqual(said.map((_, i) => i + 1))
  }, 120_000)

  it('ends with a word where the day is closed; the example of the link is answered as it says', async () => {
    await enrolled('late', 'E-01')
    const { link } = await linked(await enrolDevice(running, 'E-01'))
    await link.report(deviceEvent('report').example as ReportRequest)
    const [, , refused, gap] = deviceEvent('report').more!
    for (const exchange of [refused, gap]) await link.report(exchange!.message as ReportRequest)
    expect((await running.sunup.keeper.close(running.day)).ok).toBe(true)
    const { message, answer } = deviceEvent('report').more!.find(e => e.when === 'closed')!
    expect(await link.report(message as ReportRequest)).toEqual(answer)
    link.close()
    const said = await tell(
      ['run', '--file', file('late')],
      ['{"kind": "LineReported", "body": {"inLine": 4}}'],
    )
    expect(said).toMatchObject({ code: 1, err: expect.stringMatching(/is closed.*kept in .*late: 1\.$/) })
    expect(JSON.parse(readFileSync(file('late'), 'utf8').split('\n')[1]!).said.number).toBe(1)
  })
})
