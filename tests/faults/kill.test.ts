import { type ChildProcess, fork } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openAccessStore } from '../../db/accessStore.ts'
import { connect } from '../../db/connect.ts'
import { openDayLog } from '../../db/dayLog.ts'
import { type Embedded, startEmbedded } from '../../db/embedded.ts'
import { migrate } from '../../db/migrate.ts'
import { makeAccess } from '../../server/access/makeAccess.ts'
import type { HeartbeatAnswer, ReportAnswer } from '../../server/protocol/device.ts'
import { connectDevice, type TestDevice } from '../support/runSunup.ts'

/**
 * The server and the database are killed while reports and heartbeats flow. Each device sends its next report only
 * when the last was acknowledged, and the same again when the answer didn't come: what a tablet's outbox does.
 */
const folder = mkdtempSync(join(tmpdir(), 'sunup-kill-'))
const DEVICES = 6
let database: Embedded
let port: number
let server: ChildProcess | null = null
let day = ''

beforeAll(async () => {
  database = await startEmbedded(folder)
  await migrate(database.url)
  port = await freePort()
})
afterAll(async () => {
  server?.kill('SIGKILL')
  await database.stop()
  rmSync(folder, { recursive: true, force: true })
})

async function startServer() {
  const child = fork(fileURLToPath(new URL('killable.ts', import.meta.url)), {
    execArgv: ['--import', 'tsx'],
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  })
  server = child
  const said = new Promise<{ port?: number; day?: string; error?: string }>((resolve, reject) => {
    child.once('message', message => resolve(message as { port: number }))
    child.once('exit', () => reject(new Error('the server ended at its start')))
  })
  child.send({ url: database.url, port })
  const { error, day: started } = await said
  if (error) throw new Error(error)
  day = started!
}

async function killServer() {
  const dead = new Promise(resolve => server!.once('exit', resolve))
  server!.kill('SIGKILL')
  await dead
}

function killDatabase() {
  const pid = Number(readFileSync(join(folder, 'cluster', 'postmaster.pid'), 'utf8').split('\n')[0])
  process.kill(pid, 'SIGKILL')
}

type Told = { acknowledged: number[]; resent: number; beats: string[] }

/** Speaks until told to stop: a count each time, and now and then a heartbeat with news. */
async function speak(device: TestDevice, told: Told, stop: () => boolean) {
  for (let number = 1; !stop(); number++) {
    const at = new Date().toISOString()
    const report = { number, at, kind: 'CountsReported', body: { checkedIn: number, ballotsLeft: 900 } }
    for (let tries = 0; ; tries++) {
      const answer = await device
        .report([report], new Date().toISOString())
        .catch((): ReportAnswer | null => null)
      if (answer?.ok && answer.upTo >= number) break
      if (tries > 0 || answer === null) told.resent++
      await pause(answer && !answer.ok && answer.retryAfter ? Math.min(answer.retryAfter, 300) : 40)
    }
    told.acknowledged.push(number)
    if (number % 5 === 0) {
      const asOf = new Date().toISOString()
      const answer = await device
        .heartbeat({ sentAt: asOf, counts: { inLine: { is: number % 1_000, asOf } } })
        .catch((): HeartbeatAnswer | null => null)
      if (answer?.ok) told.beats.push(String(number % 1_000))
    }
  }
}

describe('kill -9 while reports flow', () => {
  it('P1, P2, P3, P5, P13: what was acknowledged is in the log, once and in order, after kills of server and database', async () => {
    await startServer()
    const sql = connect(database.url, { max: 2 })
    const access = makeAccess({
      store: openAccessStore(sql),
      now: Date.now,
      enrolRate: { perAddressPerMinute: 100, inAllPerMinute: 100 },
    })
    const devices: Array<{ id: string; device: TestDevice; told: Told }> = []
    for (let i = 0; i < DEVICES; i++) {
      const enrolled = await access.enrol(
        await access.issueCode(day, `E-0${(i % 3) + 1}`),
        'tablet',
        '127.0.0.1',
      )
      if (!enrolled.ok) throw new Error(enrolled.message)
      const device = await connectDevice(`http://127.0.0.1:${port}`, enrolled.key)
      devices.push({ id: enrolled.device.id, device, told: { acknowledged: [], resent: 0, beats: [] } })
    }
    let over = false
    const speaking = devices.map(d => speak(d.device, d.told, () => over))
    for (const what of ['server', 'database', 'server', 'database', 'both'] as const) {
      const before = devices.map(d => d.told.acknowledged.length)
      await pause(500)
      if (what !== 'server') killDatabase()
      if (what !== 'database') {
        await killServer()
        await startServerPatiently()
      }
      await eventually('everybody is heard again', () =>
        devices.every((d, i) => d.told.acknowledged.length > before[i]! + 10),
      )
    }
    over = true
    await Promise.all(speaking)
    for (const { device } of devices) device.close()
    await killServer()

    const log = openDayLog(sql, { now: Date.now })
    const stored = await readAll(log)
    expect(stored.map(s => s.entry.position)).toEqual(stored.map((_, i) => i + 1))
    for (let i = 1; i < stored.length; i++)
      expect(stored[i]!.entry.recordedAt).toBeGreaterThanOrEqual(stored[i - 1]!.entry.recordedAt)
    for (const { id, told } of devices) {
      const mine = stored.filter(s => s.entry.source === `device:${id}`).map(s => s.entry)
      const numbers = mine.filter(e => e.number !== null).map(e => e.number)
      expect(numbers).toEqual(told.acknowledged)
      const beats = mine
        .filter(e => e.kind === 'HeartbeatReceived')
        .map(e => String((e.body as { counts?: { inLine?: { is: number } } }).counts?.inLine?.is))
      for (const beat of told.beats) expect(beats).toContain(beat)
    }
    // The run must have hurt: some answers were lost and asked for again.
    expect(devices.reduce((sum, d) => sum + d.told.resent, 0)).toBeGreaterThan(0)
    expect(await log.verify(day)).toMatchObject({ ok: true, entries: stored.length })
    await log.close()
    await sql.end()
  })
})

async function startServerPatiently() {
  for (let tries = 0; ; tries++) {
    try {
      return await startServer()
    } catch (error) {
      if (tries === 20) throw error
      await pause(250)
    }
  }
}

async function readAll(log: ReturnType<typeof openDayLog>) {
  const all: Awaited<ReturnType<typeof log.read>> = []
  for (;;) {
    const page = await log.read(day, all.length, 5_000)
    all.push(...page)
    if (page.length < 5_000) return all
  }
}

async function eventually(what: string, holds: () => boolean) {
  const end = performance.now() + 60_000
  while (!holds()) {
    if (performance.now() > end) throw new Error(`in vain: ${what}`)
    await pause(30)
  }
}

function pause(ms: number): Promise<void> {
  return new Promise(resolve => setTimeout(resolve, ms))
}

function freePort(): Promise<number> {
  return new Promise(resolve => {
    const probe = createServer().listen(0, '127.0.0.1', () => {
      const { port: free } = probe.address() as { port: number }
      probe.close(() => resolve(free))
    })
  })
}
