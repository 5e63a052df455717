import { type ChildProcess, fork } from 'node:child_process'
import { chmodSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { io, type Socket } from 'socket.io-client'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type BoardStore, makeBoardStore } from '../../app/live/boardStore.ts'
import { createMemoryKeep } from '../../app/live/deviceKeep.ts'
import { createDeviceLink, type DeviceLink, type LinkSocket } from '../../app/live/deviceLink.ts'
import { createMemoryStore } from '../../app/live/outboxMemory.ts'
import { openAccessStore } from '../../db/accessStore.ts'
import { readHeader } from '../../db/backupLines.ts'
import { connect } from '../../db/connect.ts'
import { openDayLog } from '../../db/dayLog.ts'
import { type Embedded, startEmbedded, stopEmbedded } from '../../db/embedded.ts'
import { migrate } from '../../db/migrate.ts'
import { makeAccess } from '../../server/access/makeAccess.ts'
import { fold } from '../../server/domain/day/fold.ts'
import { initialDay } from '../../server/domain/day/initial.ts'
import { rowOf } from '../../server/domain/day/rowOf.ts'
import { indexOf } from '../../server/domain/plan/brief.ts'
import type { Patch, SubscribeAnswer } from '../../server/protocol/board.ts'
import { aPlan } from '../support/aPlan.ts'
import { freePort, sunup } from '../support/programs.ts'
import { until as untilWithin } from '../support/runSunup.ts'

/**
 * The machine dies: its server is killed and its database is gone. A second one restores the last backup under the
 * same address. Devices are the outboxes of the precinct page, the board is the store of the desk.
 */
let folder: string
let port: number
let server: ChildProcess | null = null
const databases: Embedded[] = []
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'sunup-standby-'))
  chmodSync(folder, 0o755)
  for (const machine of ['a', 'b']) mkdirSync(join(folder, machine))
  port = await freePort()
})
afterAll(async () => {
  server?.kill('SIGKILL')
  for (const database of databases) await database.stop().catch(() => {})
  for (const machine of ['a', 'b']) await stopEmbedded(join(folder, machine, 'database')).catch(() => {})
  rmSync(folder, { recursive: true, force: true })
})

function say<T>(order: object): Promise<T> {
  return new Promise((resolve, reject) => {
    server!.once('message', message => {
      const { error } = message as { error?: string }
      if (error) reject(new Error(error))
      else resolve(message as T)
    })
    server!.once('exit', () => reject(new Error('the server ended')))
    server!.send(order)
  })
}

async function startOn(machine: string): Promise<{ url: string; day: string }> {
  const database = await startEmbedded(join(folder, machine, 'database'))
  databases.push(database)
  await migrate(database.url)
  server = fork(fileURLToPath(new URL('killable.ts', import.meta.url)), {
    execArgv: ['--import', 'tsx'],
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  })
  const backups = { folder: join(folder, machine, 'backups'), everyMs: 3_600_000 }
  const { day } = await say<{ day: string }>({ url: database.url, port, backups })
  return { url: database.url, day }
}

const accessOf = (sql: ReturnType<typeof connect>) =>
  makeAccess({
    store: openAccessStore(sql),
    now: Date.now,
    enrolRate: { perAddressPerMinute: 100, inAllPerMinute: 100 },
  })

type Device = { id: string; link: DeviceLink; socket: Socket; mostAgain: number }

async function aDevice(access: ReturnType<typeof accessOf>, day: string, precinct: string): Promise<Device> {
  const enrolled = await access.enrol(await access.issueCode(day, precinct), 'tablet', '127.0.0.1')
  if (!enrolled.ok) throw new Error(enrolled.message)
  const { id } = enrolled.device
  const socket = io(`http://127.0.0.1:${port}/precinct`, {
    auth: { key: enrolled.key },
    autoConnect: false,
    transports: ['websocket'],
    reconnectionDelay: 50,
    reconnectionDelayMax: 300,
    forceNew: true,
  })
  const link = createDeviceLink({
    identity: { device: id, key: enrolled.key, day, precinct, upTo: 0 },
    store: createMemoryStore({ device: id, day, precinct }),
    keep: createMemoryKeep(),
    socket: socket as unknown as LinkSocket,
    random: Math.random,
    clock: {
      now: () => Date.now(),
      after: (ms, then) => {
        const timer = setTimeout(then, ms)
        return () => clearTimeout(timer)
      },
    },
  })
  const device: Device = { id, link, socket, mostAgain: 0 }
  link.outbox.subscribe(() => {
    device.mostAgain = Math.max(device.mostAgain, link.outbox.state().again)
  })
  await link.start()
  return device
}

function aBoard(day: string, token: string): { store: BoardStore; socket: Socket } {
  const socket = io(`http://127.0.0.1:${port}/board`, {
    auth: { token },
    transports: ['websocket'],
    reconnectionDelay: 50,
    reconnectionDelayMax: 300,
    forceNew: true,
  })
  const store = makeBoardStore({
    day,
    wall: () => Date.now(),
    later: (ms, what) => void setTimeout(what, Math.min(ms, 200)),
    subscribe: request => socket.timeout(5_000).emitWithAck('subscribe', request) as Promise<SubscribeAnswer>,
  })
  socket.on('connect', () => store.connected())
  socket.on('disconnect', () => store.lost())
  socket.on('patch', (patch: Patch) => store.patch(patch))
  return { store, socket }
}

async function speak({ link }: Device, stop: () => boolean): Promise<void> {
  for (let n = 1; !stop(); n++) {
    const said = await link.outbox.say('CountsReported', { checkedIn: n, ballotsLeft: 900 })
    if (!said.ok) throw new Error(`not said: ${said.why}`)
    await pause(8)
  }
}

const until = (what: string, holds: () => boolean) => untilWithin(what, holds, 60_000)

describe('the machine dies, and a second one goes on from the last backup', () => {
  it('P1, P2, P3, P4, P5, P13: all that was ever acknowledged is in its log exactly once, and boards equal its fold', async () => {
    const a = await startOn('a')
    const { day } = a
    const sqlOfA = connect(a.url, { max: 2 })
    const access = accessOf(sqlOfA)
    await access.addPerson({ id: 'p-imre', name: 'Imre', role: 'desk' })
    const board = aBoard(day, await access.makeToken({ id: 'p-imre', name: 'Imre', role: 'desk' }))
    const devices: Device[] = []
    for (let i = 0; i < 5; i++) devices.push(await aDevice(access, day, `E-0${(i % 3) + 1}`))
    let firstIsOver = false
    let over = false
    const speaking = devices.map((d, i) => speak(d, () => over || (i === 0 && firstIsOver)))
    await until('everybody is heard', () => devices.every(d => d.link.outbox.state().head.upTo > 20))

    // While reports flow.
    const { copied } = await say<{ copied: { last: { file: string } | null; problem: unknown } }>({
      copy: true,
    })
    expect(copied.problem).toBeNull()
    const file = copied.last!.file
    const header = (await readHeader(file))!
    const [copy] = header.days
    await until('more was acknowledged since', () => devices.every(d => d.link.outbox.state().head.upTo > 60))
    // One has nothing more to say: it learns of its loss by its heartbeat alone.
    firstIsOver = true
    await speaking[0]
    await until('it has nothing waiting', () => devices[0]!.link.outbox.state().waiting === 0)
    await until('the board is beyond the copy', () => board.store.get().cursor > copy!.position)

    const dead = new Promise(resolve => server!.once('exit', resolve))
    server!.kill('SIGKILL')
    await dead
    await sqlOfA.end({ timeout: 1 })
    await databases[0]!.stop()
    rmSync(join(folder, 'a', 'database'), { recursive: true, force: true })
    const acknowledged = devices.map(d =>
      d.link.outbox
        .state()
        .reports.filter(r => r.state === 'had')
        .map(r => r.number),
    )
    expect(acknowledged.flat().length).toBeGreaterThan(5 * 60)

    const env = { SUNUP_DATA: join(folder, 'b') }
    const restored = await sunup(['restore', file], env)
    expect(restored.err).not.toMatch(/Error/)
    expect(restored.code).toBe(0)
    const headLine = `${day}: ${copy!.position} entries, unaltered; head ${copy!.position} ${copy!.hash}`
    expect(restored.out.split('\n')[0]).toBe(headLine)
    expect((await sunup(['log', 'verify'], env)).out.trim()).toBe(headLine)
    expect((await sunup(['restore', file], env)).err).toMatch(/only be restored into an empty system/)

    const boardBefore = board.store.get().cursor
    const b = await startOn('b')
    await until('everybody goes on', () => devices.every(d => d.socket.connected))
    await pause(500)
    over = true
    await Promise.all(speaking)
    await until('every outbox is empty', () =>
      devices.every(d => d.link.outbox.state().waiting === 0 && d.link.outbox.state().trouble === null),
    )

    const sql = connect(b.url, { max: 2 })
    const log = openDayLog(sql, { now: Date.now })
    const stored = await readAll(log, day)
    expect(stored.map(s => s.entry.position)).toEqual(stored.map((_, i) => i + 1))
    expect(stored[copy!.position - 1]!.hash).toBe(copy!.hash)
    devices.forEach((d, i) => {
      const { reports, head } = d.link.outbox.state()
      const mine = stored.filter(s => s.entry.source === `device:${d.id}` && s.entry.number !== null)
      const numbers = mine.map(s => s.entry.number)
      expect(numbers).toEqual(Array.from({ length: head.last }, (_, n) => n + 1))
      expect(numbers).toEqual(expect.arrayContaining(acknowledged[i]!))
      const said = new Map(reports.map(r => [r.number, r.body]))
      for (const { entry } of mine) expect(entry.body).toEqual(said.get(entry.number!))
      expect(reports.every(r => r.state === 'had')).toBe(true)
    })
    // It must have hurt: every device was asked for what the dead machine had acknowledged.
    for (const d of devices) expect(d.mostAgain).toBeGreaterThan(10)
    expect(await log.verify(day)).toMatchObject({ ok: true, entries: stored.length })

    const end = (await log.head(day)).position
    expect(end).toBeGreaterThan(boardBefore)
    await until('the board reaches the head', () => board.store.get().cursor >= end)
    const { cursor, rows } = board.store.get()
    const upTo = (await readAll(log, day)).slice(0, cursor)
    const index = indexOf(aPlan(), day)
    const state = fold(
      initialDay(day, index),
      upTo.map(s => s.entry),
      index,
    )
    for (const p of state.precincts.values())
      expect(rows.get(p.code), p.code).toEqual(JSON.parse(JSON.stringify(rowOf(p, index))))

    // A copy by hand, beside the running server.
    const byHand = join(folder, 'by-hand')
    const handMade = await sunup(['backup', byHand], { DATABASE_URL: b.url })
    expect(handMade.out).toMatch(new RegExp(`^${day}: \\d+ entries; head \\d+ [0-9a-f]{64}\\n`))
    expect(handMade.code).toBe(0)
    expect((await readHeader(byHand))!.days[0]!.position).toBeGreaterThanOrEqual(end)
    const again = await sunup(['backup', byHand], { DATABASE_URL: b.url })
    expect([again.code, again.err]).toEqual([1, expect.stringMatching(/is there already/)])
    expect((await sunup(['backup', byHand, '--replace'], { DATABASE_URL: b.url })).code).toBe(0)

    board.socket.disconnect()
    for (const d of devices) d.link.stop()
    await log.close()
    await sql.end({ timeout: 1 })
  }, 400_000)
})

async function readAll(log: ReturnType<typeof openDayLog>, day: string) {
  const all: Awaited<ReturnType<typeof log.read>> = []
  for (;;) {
    const page = await log.read(day, all.length, 5_000)
    all.push(...page)
    if (page.length < 5_000) return all
  }
}

function pause(ms: number): Promise<void> {
  return new Promise(resolve => setTimeout(resolve, ms))
}
