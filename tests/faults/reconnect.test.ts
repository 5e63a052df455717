import { createServer, connect as dial, type Server, type Socket } from 'node:net'
import { setTimeout as pause } from 'node:timers/promises'
import { setFlagsFromString } from 'node:v8'
import { runInNewContext } from 'node:vm'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { ClosableLog } from '../../db/dayLog.ts'
import { QUEUE_LIMITS } from '../../db/log/queue.ts'
import { connectDevice, type HeadlessDevice } from '../../server/cli/device/connectDevice.ts'
import { type DeviceStore, memoryStore } from '../../server/cli/device/store.ts'
import { fromRfc3339 } from '../../server/domain/time.ts'
import { aWidePlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import { type RunningSunup, runSunup, until } from '../support/runSunup.ts'

/** A county whose network goes and comes back: all devices at once, with what they said meanwhile. */
const DEVICES = 500
const PRECINCTS = 50
const CUTS = 3
/** Said by each device before each cut, and again while it has no link. */
const EACH = 2

type Speaker = { id: string; device: HeadlessDevice; store: DeviceStore }

/** Two nodes on one database: a device comes back to whichever takes its connection. */
const nodes: RunningSunup[] = []
let network: Awaited<ReturnType<typeof openNetwork>>
const speakers: Speaker[] = []

beforeAll(async () => {
  const plan = aWidePlan(PRECINCTS, { kind: 'election' })
  const startAt = fromRfc3339(`${plan.date}T15:00:00Z`)
  const url = await freshDatabase()
  for (const _ of ['first', 'second']) nodes.push(await runSunup({ url, plan, startAt }))
  network = await openNetwork(nodes.map(node => node.port))
})
afterAll(async () => {
  for (const { device } of speakers) device.close()
  await network.close()
  for (const node of nodes) await node.stop()
})

/** What lies between the devices and the office: `cut` breaks all connections, spread over so many ms. */
async function openNetwork(ports: readonly number[]) {
  const open = new Set<Socket>()
  let passes = true
  let accepted = 0
  const server: Server = createServer(inside => {
    if (!passes) return void inside.destroy()
    const outside = dial(ports[accepted++ % ports.length]!, '127.0.0.1')
    for (const [one, other] of [
      [inside, outside],
      [outside, inside],
    ] as const) {
      one.on('error', () => other.destroy())
      one.on('close', () => other.destroy())
    }
    inside.pipe(outside)
    outside.pipe(inside)
    open.add(inside)
    inside.on('close', () => open.delete(inside))
  })
  await new Promise<void>(resolve => void server.listen(0, '127.0.0.1', resolve))
  return {
    url: `http://127.0.0.1:${(server.address() as { port: number }).port}`,
    accepted: () => accepted,
    async cut(ms: number) {
      passes = false
      const all = [...open]
      for (const [i, socket] of all.entries()) setTimeout(() => socket.destroy(), (i / all.length) * ms)
      await pause(ms)
      for (const socket of open) socket.destroy()
      return all.length
    },
    mend: () => {
      passes = true
    },
    close: () => new Promise<void>(resolve => void server.close(() => resolve())),
  }
}

async function enrolAll(): Promise<void> {
  const [{ sunup, day }] = nodes as [RunningSunup]
  const { access } = sunup
  const enrolOne = async (i: number) => {
    const precinct = `W-${String((i % PRECINCTS) + 1).padStart(3, '0')}`
    const enrolled = await access.enrol(await access.issueCode(day, precinct), 'storm', '127.0.0.1')
    if (!enrolled.ok) throw new Error(enrolled.message)
    const store = memoryStore(0)
    const device = connectDevice({ url: network.url, key: enrolled.key, store })
    speakers.push({ id: enrolled.device.id, device, store })
  }
  for (let i = 0; i < DEVICES; i += 25)
    await Promise.all(Array.from({ length: 25 }, (_, n) => enrolOne(i + n)))
}

/** Each says so many; what it says tells its number, so that the log can be held against it. */
function allSay() {
  for (const { device, store } of speakers)
    for (let n = 0; n < EACH; n++) {
      const said = device.say('LineReported', { inLine: (store.last() + 1) % 1_000 })
      if (!said.ok) throw new Error(JSON.stringify(said))
    }
}

setFlagsFromString('--expose-gc')
const collect = runInNewContext('gc') as () => void

/** Megabytes in use once what nobody holds is gone: devices and office together, since they share this process. */
async function megabytes(): Promise<number> {
  await pause(200)
  collect()
  collect()
  const { heapUsed, external } = process.memoryUsage()
  return (heapUsed + external) / 1e6
}

describe('a storm of reconnects', () => {
  it(`P9 P10: ${DEVICES} devices drop and reconnect in one second, three times, to either of two nodes: their lists empty in order, the queue stays within its limit, memory settles`, async () => {
    const logs = nodes.map(node => node.sunup.log as ClosableLog)
    let most = 0
    const watch = setInterval(() => {
      most = Math.max(most, ...logs.map(log => log.waiting()))
    }, 2)
    await enrolAll()
    await until('all are linked', () => network.accepted() >= DEVICES, 30_000)
    allSay()
    expect(await Promise.all(speakers.map(s => s.device.settled()))).toEqual(speakers.map(() => null))
    const megabytesAfter = [await megabytes()]

    for (let round = 0; round < CUTS; round++) {
      // Said into the break: some of it is under way, taken or not, and its answer is lost.
      allSay()
      expect(await network.cut(1_000)).toBeGreaterThan(DEVICES * 0.95)
      allSay()
      const waiting = speakers.reduce((sum, s) => sum + s.store.waiting(), 0)
      expect(waiting).toBeGreaterThanOrEqual(DEVICES * EACH)
      const before = network.accepted()
      network.mend()
      expect(await Promise.all(speakers.map(s => s.device.settled()))).toEqual(speakers.map(() => null))
      expect(network.accepted() - before).toBeGreaterThanOrEqual(DEVICES)
      expect(speakers.every(s => s.store.waiting() === 0 && s.store.refused().length === 0)).toBe(true)
      megabytesAfter.push(await megabytes())
    }
    clearInterval(watch)
    expect(most).toBeGreaterThan(0)
    expect(most).toBeLessThan(QUEUE_LIMITS.waiting)
    await theLogHasAll()
    // What a round leaves is what was said in it; nothing of a link that broke.
    const [first = 0, ...later] = megabytesAfter
    for (const now of later) expect(now - first, megabytesAfter.map(Math.round).join(', ')).toBeLessThan(60)
  }, 120_000)
})

async function theLogHasAll() {
  const node = nodes[0]!
  const bySource = new Map<string, Array<[number | null, number]>>()
  for (let after = 0; ; ) {
    const entries = await node.sunup.log.read(node.day, after, 1_000)
    if (entries.length === 0) break
    after = entries.at(-1)!.entry.position
    for (const { entry } of entries) {
      if (entry.kind !== 'LineReported') continue
      const mine = bySource.get(entry.source) ?? []
      bySource.set(entry.source, mine)
      mine.push([entry.number, (entry.body as { inLine: number }).inLine])
    }
  }
  const each = EACH * (1 + 2 * CUTS)
  const wanted = Array.from({ length: each }, (_, i) => [i + 1, i + 1])
  const wrong = speakers.filter(
    s => JSON.stringify(bySource.get(`device:${s.id}`)) !== JSON.stringify(wanted),
  )
  expect(wrong.map(s => s.id)).toEqual([])
}
