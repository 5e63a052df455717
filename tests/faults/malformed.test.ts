import { type ChildProcess, fork } from 'node:child_process'
import { Agent, request } from 'node:http'
import { connect as connectTcp } from 'node:net'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import WebSocket from 'ws'
import type { z } from 'zod'
import { checkPrecinctReport, readAs } from '../../server/domain/log/check.ts'
import { subscribeRequest } from '../../server/protocol/board.ts'
import { commandBodies, commandRequest } from '../../server/protocol/command.ts'
import { enrolRequest, heartbeatRequest, reportRequest } from '../../server/protocol/device.ts'
import { connectRaw } from '../load/rawSocket.ts'
import { freshDatabase } from '../support/database.ts'
import { mutations } from '../support/mutated.ts'
import type { Attacked, Told } from './attacked.ts'

/**
 * 100,000 wrong messages, 50,000 on each door. What happens to be right is left out before it is sent: every one
 * that goes out must be refused, and change nothing.
 */
const MESSAGES = 50_000
const SEED = 20261103
/** What a process of this kind may gain by caches that fill and code that is compiled; a leak of 1 KB a message is 98 MB. */
const MEMORY_BYTES = 64 * 1024 * 1024

let server: ChildProcess
let at: Attacked
let exits = 0

beforeAll(async () => {
  server = fork(fileURLToPath(new URL('attacked.ts', import.meta.url)), {
    execArgv: ['--expose-gc', '--import', 'tsx'],
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  })
  server.on('exit', () => {
    exits++
  })
  at = (await ask({ url: await freshDatabase() })) as Attacked
})
afterAll(() => void server.kill('SIGKILL'))

function ask(order: object): Promise<unknown> {
  return new Promise((resolve, reject) => {
    const ended = () => reject(new Error('the server ended'))
    server.once('exit', ended)
    server.once('message', (said: { error?: string }) => {
      server.off('exit', ended)
      if (said.error) reject(new Error(said.error))
      else resolve(said)
    })
    server.send(order)
  })
}
const tell = () => ask({ tell: true }) as Promise<Told>

const report = {
  sentAt: '2026-11-03T09:00:00Z',
  // Far above what is wanted next: were one of these right, it would be a gap.
  reports: [
    {
      number: 900_001,
      at: '2026-11-03T09:00:00Z',
      kind: 'CountsReported',
      body: { checkedIn: 12, inLine: 3 },
    },
    {
      number: 900_002,
      at: '2026-11-03T09:00:00Z',
      kind: 'StepCompleted',
      body: { step: 'box', byTwo: true },
    },
    {
      number: 900_003,
      at: '2026-11-03T09:00:00Z',
      kind: 'ReturnDeparted',
      body: { carriers: 2, items: ['bag'], seals: ['77'] },
    },
  ],
}
const heartbeat = {
  sentAt: '2026-11-03T09:00:00Z',
  status: {
    polls: { is: 'open', asOf: '2026-11-03T09:00:00Z' },
    equipmentDown: { is: ['T-01'], asOf: '2026-11-03T09:00:00Z' },
  },
  counts: {
    checkedIn: { is: 12, asOf: '2026-11-03T09:00:00Z' },
    publicCount: { 'T-01': { is: 11, asOf: '2026-11-03T09:00:00Z' } },
  },
  device: { battery: 80, charging: false, waiting: 0 },
}
const commands = [
  { kind: 'TakeCall', body: { precincts: ['E-01'] } },
  {
    kind: 'LogCall',
    body: { precincts: ['E-01'], outcome: 'watching', until: '2026-11-03T10:00:00Z', note: 'x' },
  },
  {
    kind: 'RecordReports',
    body: { precinct: 'E-01', via: 'caller', spoke: 'lead', reports: [{ kind: 'PollsOpened', body: {} }] },
  },
  { kind: 'SendRover', body: { rover: 'R-1', precinct: 'E-01', what: 'a cable' } },
  { kind: 'CheckInReturn', body: { precinct: 'E-01', items: ['bag'], seals: ['77'], carriers: 2 } },
  { kind: 'AddNote', body: { precinct: 'E-01', note: 'x' } },
].map(c => ({ id: '7c9e6679-7425-40de-944b-e07fc1f90ae7', ...c }))

/** Whether the server would be right to take it: then it is no wrong message. A gap takes nothing, whatever is in it. */
const right = {
  report: (m: unknown) => {
    const read = readAs(reportRequest, m)
    if (!read.success) return false
    const { reports } = read.data
    return (
      reports.length === 0 ||
      reports[0]!.number === 1 ||
      reports.every(r => !('problems' in checkPrecinctReport(r.kind, r.body)))
    )
  },
  heartbeat: (m: unknown) => readAs(heartbeatRequest, m).success,
  subscribe: (m: unknown) => readAs(subscribeRequest, m).data?.day === at.day,
  command: (m: unknown) => {
    const read = readAs(commandRequest, m)
    return read.success && readAs<z.ZodType>(commandBodies[read.data.kind], read.data.body).success
  },
  enrol: (m: unknown) => readAs(enrolRequest, m).success,
}

function wrongOf(name: keyof typeof right, good: readonly unknown[], seed: number): () => unknown {
  const next = mutations(seed, good)
  return () => {
    for (;;) {
      // As JSON carries it: what can't be sent is not what is judged.
      const message = JSON.parse(JSON.stringify(next() ?? null))
      if (!right[name](message)) return message
    }
  }
}

type Refusing = { ok?: unknown }
const taken: string[] = []
function mustRefuse(door: string, message: unknown, answer: unknown) {
  if ((answer as Refusing | null)?.ok === false) return
  if (taken.length < 20)
    taken.push(`${door} took ${JSON.stringify(message).slice(0, 300)}: ${JSON.stringify(answer)}`)
}

/** So many under way at once on each door. */
const AT_ONCE = 64
async function many(howMany: number, one: (i: number) => Promise<void>) {
  let next = 0
  const worker = async () => {
    while (next < howMany) await one(next++)
  }
  await Promise.all(Array.from({ length: AT_ONCE }, worker))
}

describe('nonsense', () => {
  it('P14: on the sockets is refused message by message; nothing changes, nothing ends, memory stays flat', async () => {
    const device = await connectRaw(at.port, '/precinct', { key: at.key })
    const board = await connectRaw(at.port, '/board', { token: at.token })
    await board.emit('subscribe', { day: at.day })
    const doors = [
      { socket: device, event: 'report', next: wrongOf('report', [report], SEED) },
      { socket: device, event: 'heartbeat', next: wrongOf('heartbeat', [heartbeat], SEED + 1) },
      {
        socket: board,
        event: 'subscribe',
        next: wrongOf('subscribe', [{ day: 'another', cursor: 3, log: 'x' }], SEED + 2),
      },
      { socket: board, event: 'command', next: wrongOf('command', commands, SEED + 3) },
    ]
    let before: Told | null = null
    await many(MESSAGES, async i => {
      // The first fifth fills caches; from there on what is held is compared.
      if (i === MESSAGES / 5) before = await tell()
      const { socket, event, next } = doors[i % doors.length]!
      const message = next()
      mustRefuse(event, message, await socket.emit(event, message))
    })
    const after = await tell()
    expect(taken).toEqual([])
    expect(after.state).toBe(before!.state)
    expect(after.rss - before!.rss).toBeLessThan(MEMORY_BYTES)
    expect(exits).toBe(0)
    device.close()
    board.close()
  })

  it('P14: over HTTP is refused with a status that says so; nothing changes, nothing ends, memory stays flat', async () => {
    const agent = new Agent({ keepAlive: true, maxSockets: AT_ONCE })
    const doors = [
      { path: '/api/v1/reports', bearer: at.key, next: wrongOf('report', [report], SEED + 4) },
      { path: '/api/v1/heartbeat', bearer: at.key, next: wrongOf('heartbeat', [heartbeat], SEED + 5) },
      {
        path: `/api/v1/days/${at.day}/commands`,
        bearer: at.token,
        next: wrongOf('command', commands, SEED + 6),
      },
      {
        path: '/api/v1/enrol',
        bearer: null,
        next: wrongOf('enrol', [{ code: 'ABCDE-FGHJK', label: 't' }], SEED + 7),
      },
    ]
    const statuses = new Map<number, number>()
    let before: Told | null = null
    await many(MESSAGES, async i => {
      if (i === MESSAGES / 5) before = await tell()
      const { path, bearer, next } = doors[i % doors.length]!
      const message = next()
      const text = JSON.stringify(message)
      // Every eleventh is no JSON at all: cut off, or with a byte that is no text.
      const body =
        i % 11 === 0
          ? Buffer.concat([Buffer.from(text.slice(0, -1)), Buffer.from([0xff])])
          : Buffer.from(text)
      const { status, json } = await post(agent, path, bearer, body)
      statuses.set(status, (statuses.get(status) ?? 0) + 1)
      if (status < 400 || status >= 500) mustRefuse(`${path} ${status}`, message, null)
      else mustRefuse(path, message, json)
    })
    const after = await tell()
    expect(taken).toEqual([])
    expect([...statuses.values()].reduce((a, b) => a + b)).toBe(MESSAGES)
    expect(after.state).toBe(before!.state)
    expect(after.rss - before!.rss).toBeLessThan(MEMORY_BYTES)
    expect(exits).toBe(0)
    agent.destroy()
  })

  it('in frames that no client sends closes that connection and no other', async () => {
    const device = await connectRaw(at.port, '/precinct', { key: at.key })
    const frames = [
      '',
      '4',
      '42',
      '42/precinct,',
      '42/precinct,0',
      '42/precinct,0{"a":1}',
      '42/precinct,0["report"',
      '42/nowhere,["x"]',
      '451-["x",{"_placeholder":true,"num":0}]',
      '9',
      '40/precinct,[[[',
      `42/precinct,${'9'.repeat(40)}["report",{}]`,
      `42/precinct,0["report",${'['.repeat(50_000)}`,
      '\u0000',
      '🗳',
    ]
    for (const frame of frames) await sendFrame(frame)
    await sendFrame(`42/precinct,0["report","${'x'.repeat(400 * 1024)}"]`)
    await sendFrame(Buffer.alloc(1024, 0xff))
    const answer = await device.emit<Refusing>('report', { reports: [] })
    expect(answer.ok).toBe(true)
    expect(exits).toBe(0)
    device.close()
  })

  it('that trickles in, or never ends, is cut off; who speaks plainly is served meanwhile', async () => {
    const slow = Array.from({ length: 40 }, () =>
      trickle(
        'POST /api/v1/reports HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nAuthorization: Bearer ',
        at.key,
      ),
    )
    const { status } = await post(new Agent(), '/api/v1/reports', at.key, Buffer.from('{"reports":[]}'))
    expect(status).toBe(200)
    for (const ended of await Promise.all(slow)) expect(ended).toMatch(/^(HTTP\/1\.1 408|closed)/)
    const long = await post(new Agent(), '/api/v1/reports', at.key, Buffer.alloc(3 * 1024 * 1024, 0x20))
    expect(long.status).toBe(413)
    expect(exits).toBe(0)
  })
})

function post(
  agent: Agent,
  path: string,
  bearer: string | null,
  body: Buffer,
): Promise<{ status: number; json: unknown }> {
  return new Promise((resolve, reject) => {
    const headers = {
      'Content-Type': 'application/json',
      'Content-Length': body.length,
      ...(bearer ? { Authorization: `Bearer ${bearer}` } : {}),
    }
    const asked = request({ port: at.port, path, method: 'POST', agent, headers }, response => {
      const chunks: Buffer[] = []
      response.on('data', chunk => chunks.push(chunk))
      response.on('end', () => {
        try {
          resolve({ status: response.statusCode ?? 0, json: JSON.parse(Buffer.concat(chunks).toString()) })
        } catch {
          resolve({ status: response.statusCode ?? 0, json: null })
        }
      })
    })
    asked.on('error', reject)
    asked.end(body)
  })
}

/** A frame on a connection of its own, and its end: the server's, or ours a moment later. */
function sendFrame(frame: string | Buffer): Promise<void> {
  return new Promise(resolve => {
    const ws = new WebSocket(`ws://127.0.0.1:${at.port}/socket.io/?EIO=4&transport=websocket`)
    ws.on('error', () => {})
    ws.on('close', () => resolve())
    ws.on('open', () => ws.send(`40/precinct,${JSON.stringify({ key: at.key })}`))
    ws.on('message', data => {
      if (!String(data).startsWith('40/precinct,')) return
      ws.send(frame, () => setTimeout(() => ws.terminate(), 50))
    })
  })
}

/** Sends a head and then a byte a second; what the server says, or that it closed. */
function trickle(head: string, key: string): Promise<string> {
  return new Promise(resolve => {
    const socket = connectTcp(at.port, '127.0.0.1')
    let heard = ''
    socket.write(`${head}${key}\r\nContent-Length: 5000\r\n\r\n`)
    const timer = setInterval(() => socket.write(' '), 1_000)
    socket.on('data', data => {
      heard += String(data)
    })
    socket.on('error', () => {})
    socket.on('close', () => {
      clearInterval(timer)
      resolve(heard || 'closed')
    })
  })
}
