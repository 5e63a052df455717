import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { Server } from 'socket.io'
import { io } from 'socket.io-client'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { createMemoryKeep } from '../../app/live/deviceKeep.ts'
import { createDeviceLink, type DeviceLink, type LinkSocket } from '../../app/live/deviceLink.ts'
import { createMemoryStore } from '../../app/live/outboxMemory.ts'
import type { HeartbeatRequest } from '../../server/protocol/device.ts'
import { aDevicePlan } from '../screens/precinct/given.ts'
import { handOffice } from '../support/outboxHands.ts'

/** An office on a real socket: it knows one key, and answers as the wire says. */
async function anOffice() {
  const http = createServer()
  const server = new Server(http, { serveClient: false })
  const office = handOffice()
  const state = { key: 'good', plan: aDevicePlan(), heartbeats: [] as HeartbeatRequest[] }
  const devices = server.of('/precinct')
  devices.use((socket, next) =>
    socket.handshake.auth.key === state.key
      ? next()
      : next(Object.assign(new Error('key-refused'), { data: { reason: 'key-refused' } })),
  )
  devices.on('connection', socket => {
    socket.emit('plan', state.plan)
    socket.emit('heard', { recordedAt: '2026-11-03T14:14:00.000Z', speed: 1 })
    socket.on('report', (message, answer) => office.transport(message).then(answer, () => undefined))
    socket.on('heartbeat', (message, answer) => {
      state.heartbeats.push(message)
      answer({ ok: true, recordedAt: '2026-11-03T14:14:00.000Z', upTo: office.upTo })
    })
  })
  await new Promise<void>(resolve => http.listen(0, '127.0.0.1', resolve))
  const { port } = http.address() as AddressInfo
  return { office, state, devices, url: `http://127.0.0.1:${port}`, close: () => server.close() }
}

const open: Array<() => unknown> = []
afterEach(async () => {
  for (const close of open.splice(0).reverse()) await close()
})

async function linked() {
  const there = await anOffice()
  open.push(there.close)
  const socket = io(`${there.url}/precinct`, {
    auth: { key: 'good' },
    autoConnect: false,
    reconnectionDelay: 20,
    reconnectionDelayMax: 50,
    forceNew: true,
  })
  const keep = createMemoryKeep()
  const link = createDeviceLink({
    identity: { device: 'd-1', key: 'good', day: 'ellery', precinct: 'harbor-hall', upTo: 0 },
    store: createMemoryStore({ device: 'd-1', day: 'ellery', precinct: 'harbor-hall' }),
    keep,
    socket: socket as unknown as LinkSocket,
    random: () => 0,
    clock: {
      now: () => Date.now(),
      after: (ms, then) => {
        // The server's own pauses are shortened; order and number of attempts stay.
        const timer = setTimeout(then, Math.min(ms, 100))
        return () => clearTimeout(timer)
      },
    },
    battery: async () => ({ percent: 81, charging: false }),
  })
  open.push(() => link.stop())
  return { ...there, link, keep, socket }
}

const up = (link: DeviceLink) => vi.waitFor(() => expect(link.state().link).toBe('up'))

describe('a device’s line to the office', () => {
  it('P5: after a break it comes back by itself and empties its outbox in order', async () => {
    const { link, office, socket } = await linked()
    await link.start()
    await up(link)
    await link.outbox.say('StepCompleted', { step: 'one' })
    await vi.waitFor(() => expect(office.had).toHaveLength(1))
    socket.io.engine.close()
    await vi.waitFor(() => expect(link.state().link).toBe('down'))
    await link.outbox.say('StepCompleted', { step: 'two' })
    await link.outbox.say('StepCompleted', { step: 'three' })
    await vi.waitFor(() => expect(office.had.map(r => r.number)).toEqual([1, 2, 3]), 5_000)
    await vi.waitFor(() => expect(link.outbox.state().waiting).toBe(0))
  })

  it('knows when the office last heard it, and keeps that with the plan for the next page', async () => {
    const { link, keep } = await linked()
    await link.start()
    await vi.waitFor(() => expect(link.state().lastHeard).not.toBeNull())
    expect(link.state().plan?.precinct.name).toBe('Harbor Hall')
    await vi.waitFor(async () =>
      expect(await keep.read('plan:d-1')).toMatchObject({ plan: { county: 'Ellery County' } }),
    )
    expect(await keep.read('heard:d-1')).toMatchObject({ lastHeard: expect.any(Number) })
  })

  it('keeps a notice with the plan, once, so that the next page has it, and takes nothing else for one', async () => {
    const { link, devices, keep } = await linked()
    await link.start()
    await vi.waitFor(() => expect(link.state().plan).not.toBeNull())
    const { planAt } = link.state()
    const notice = { id: 41, at: '2026-11-03T14:14:00.000Z', text: 'Ice on the ramp.', acknowledge: true }
    devices.emit('notice', { id: 'one' })
    devices.emit('notice', notice)
    devices.emit('notice', notice)
    await vi.waitFor(() => expect(link.state().plan!.notices).toEqual([{ ...notice, read: false }]))
    expect(link.state().planAt).toBe(planAt)
    const kept = await keep.read<{ plan: { notices: unknown }; planAt: number }>('plan:d-1')
    expect(kept).toMatchObject({ planAt, plan: { notices: [{ id: 41 }] } })
  })

  it('beats with what was said last, each with its own time, and the device’s own state', async () => {
    const { link, state } = await linked()
    await link.start()
    await up(link)
    await link.outbox.say('CountsReported', { checkedIn: 40 })
    await link.outbox.say('EquipmentWentDown', { equipment: 'T1' })
    await vi.waitFor(() => expect(link.outbox.state().waiting).toBe(0))
    const at = link.outbox.state().reports.find(r => r.kind === 'CountsReported')!.at
    await vi.waitFor(() =>
      expect(state.heartbeats.at(-1)).toMatchObject({
        counts: { checkedIn: { is: 40, asOf: at } },
        status: { equipmentDown: { is: ['T1'] } },
        device: { battery: 81, charging: false, waiting: 0 },
      }),
    )
    const asOfs = new Set(state.heartbeats.flatMap(h => h.counts?.checkedIn?.asOf ?? []))
    expect([...asOfs]).toEqual([at])
  })

  it('says that its day is closed, and not another one', async () => {
    const { link, devices } = await linked()
    await link.start()
    await up(link)
    await vi.waitFor(() => expect(link.state().plan).not.toBeNull())
    devices.emit('closed', { day: 'another' })
    devices.emit('notice', { id: 41, at: '2026-11-03T14:14:00.000Z', text: 'Ice.', acknowledge: true })
    await vi.waitFor(() => expect(link.state().plan!.notices).toHaveLength(1))
    expect(link.state().dayClosed).toBe(false)
    devices.emit('closed', { day: 'ellery' })
    await vi.waitFor(() => expect(link.state().dayClosed).toBe(true))
  })

  it('knows its precinct from a plan that was kept before later fields were', async () => {
    const { link, keep } = await linked()
    const { cards: _, page: __, sealPrints: ___, has, ...before } = aDevicePlan()
    const { sealWork: ____, countedAt: _____, ...hadThen } = has
    await keep.write('plan:d-1', { plan: { ...before, has: hadThen }, planAt: 7 })
    const seen: Array<[number, string | undefined]> = []
    link.subscribe(() => seen.push([link.state().planAt, link.state().plan?.precinct.name]))
    await link.start()
    expect(seen).toContainEqual([7, 'Harbor Hall'])
  })

  it('P14: a revoked key is said, and what waits is kept', async () => {
    const { link, state, devices, office } = await linked()
    await link.start()
    await up(link)
    office.next.push('lose-request', 'lose-request', 'lose-request')
    await link.outbox.say('StepCompleted', { step: 'one' })
    state.key = 'another'
    devices.disconnectSockets(true)
    await vi.waitFor(() => expect(link.state().link).toBe('key-lost'), 5_000)
    expect(link.outbox.state().waiting).toBe(1)
  })

  it('a server that ends the line for a moment is asked again', async () => {
    const { link, devices } = await linked()
    await link.start()
    await up(link)
    devices.disconnectSockets(true)
    await vi.waitFor(() => expect(link.state().link).toBe('down'))
    await up(link)
  })

  it('P11: a plan of another wire version is said, not guessed at', async () => {
    const { link, state } = await linked()
    state.plan = { ...state.plan, wire: 2 }
    await link.start()
    await vi.waitFor(() => expect(link.state().link).toBe('too-old'))
  })
})
