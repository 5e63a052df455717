import type { Namespace, Server, Socket } from 'socket.io'
import type { Access, Device } from '../access/access.ts'
import { toRfc3339 } from '../domain/time.ts'
import type { Intake } from '../intake/intake.ts'
import type { DayIsClosed, DevicePlan, Heard, Notice } from '../protocol/device.ts'
import { createGathered } from './gathered.ts'
import type { PlanOwed } from './plansOwed.ts'

/** Devices on the socket: namespace `/precinct`, one room a device and one a precinct. */

export type LinkedDay = {
  now(): number
  speed(): number
  devicePlan(precinct: string): DevicePlan | null
}

/** Messages of one socket under way at once; the next is told to wait, so a flood can't fill our memory. */
const IN_FLIGHT = 64
/** Milliseconds between two plans to one precinct. */
const PLAN_EVERY = 1_000
/** Told to wait this often in a row, a socket that doesn't listen is cut off; its outbox keeps what it has. */
const DEAF_AFTER = 500

export type DeviceLink = {
  /** What the office has of a precinct changed: its devices hear it, but not the one that said it all. */
  sendPlan(day: string, owed: PlanOwed): void
  /** Words of the desk to the devices of some precincts; null: of all. */
  sendNotice(day: string, to: readonly string[] | null, notice: Notice): void
  sendHeard(day: string): void
  /** The day takes no more. */
  sayClosed(day: string): void
  connected(): number
  close(): void
}

export function linkDevices(
  io: Server,
  deps: {
    access: Access
    intake: Intake
    /** A running day. */
    dayOf(day: string): LinkedDay | null
    isClosed(day: string): boolean
    onTrouble(error: unknown): void
  },
): DeviceLink {
  const devices: Namespace = io.of('/precinct')

  devices.use((socket, next) => {
    const key: unknown = socket.handshake.auth.key
    if (typeof key !== 'string' || key.length > 200) return next(refusal())
    deps.access
      .deviceOfKey(key)
      .then(device => {
        if (!device) return next(refusal())
        socket.data.device = device
        next()
      })
      .catch(error => {
        deps.onTrouble(error)
        next(Object.assign(new Error('unavailable'), { data: { reason: 'unavailable', retryAfter: 2_000 } }))
      })
  })

  devices.on('connection', socket => {
    const device = socket.data.device as Device
    const day = deps.dayOf(device.day)
    gatherWrites(socket)
    socket.join([`device:${device.id}`, `precinct:${device.day}:${device.precinct}`, `day:${device.day}`])
    answerWith(socket, 'report', message => deps.intake.report(device, message))
    answerWith(socket, 'heartbeat', message => deps.intake.heartbeat(device, message))
    const plan = day?.devicePlan(device.precinct)
    if (plan) socket.emit('plan', plan)
    if (day) socket.emit('heard', heardOf(day))
    if (deps.isClosed(device.day)) socket.emit('closed', { day: device.day } satisfies DayIsClosed)
  })

  function answerWith(
    socket: Socket,
    event: string,
    handle: (message: unknown) => Promise<{ ok: boolean; retryAfter?: number }>,
  ) {
    socket.on(event, (message: unknown, answer: unknown) => {
      // A message without an acknowledgement can't be answered; a device that speaks the wire always asks for one.
      if (typeof answer !== 'function') return
      const under = (socket.data.inFlight as number | undefined) ?? 0
      if (under >= IN_FLIGHT) {
        wait(socket)
        return answer({ ok: false, upTo: 0, retryAfter: 1_000 })
      }
      socket.data.inFlight = under + 1
      handle(message)
        .then(result => {
          if (!result.ok && result.retryAfter) wait(socket)
          else socket.data.waits = 0
          answer(result)
        })
        .catch(deps.onTrouble)
        .finally(() => {
          socket.data.inFlight -= 1
        })
    })
  }

  function wait(socket: Socket) {
    socket.data.waits = ((socket.data.waits as number | undefined) ?? 0) + 1
    if (socket.data.waits > DEAF_AFTER) socket.disconnect(true)
  }

  const stopListening = deps.access.onRevoked(({ device }) => {
    if (!device) return
    devices.in(`device:${device}`).disconnectSockets(true)
    deps.intake.forget(device)
  })

  const plans = createGathered<PlanOwed & { day: string }>({
    everyMs: PLAN_EVERY,
    join: (before, owed) => ({ ...owed, writer: before.writer === owed.writer ? owed.writer : null }),
    send: (room, { day, precinct, writer }) => {
      const plan = anyHears(room, writer) ? deps.dayOf(day)?.devicePlan(precinct) : null
      if (plan)
        devices
          .to(room)
          .except(writer === null ? [] : `device:${writer}`)
          .emit('plan', plan)
    },
  })

  /** Whether any device but the writer is linked up in a precinct's room. */
  function anyHears(room: string, writer: string | null): boolean {
    const { rooms } = devices.adapter
    const own = writer === null ? undefined : rooms.get(`device:${writer}`)
    for (const socket of rooms.get(room) ?? []) if (!own?.has(socket)) return true
    return false
  }

  return {
    sendPlan: (day, owed) => {
      const room = `precinct:${day}:${owed.precinct}`
      // Usually one tablet speaks for its precinct, and what it said itself costs nothing here.
      if (anyHears(room, owed.writer)) plans.owe(room, { ...owed, day })
    },
    sendNotice: (day, to, notice) => {
      const rooms = to === null ? [`day:${day}`] : to.map(precinct => `precinct:${day}:${precinct}`)
      devices.to(rooms).emit('notice', notice)
    },
    sendHeard: day => {
      const live = deps.dayOf(day)
      if (live) devices.to(`day:${day}`).emit('heard', heardOf(live))
    },
    sayClosed: day => void devices.to(`day:${day}`).emit('closed', { day } satisfies DayIsClosed),
    connected: () => devices.sockets.size,
    close: () => {
      stopListening()
      plans.end()
    },
  }
}

/**
 * Answers to reports of one group come together: what is sent to a device within one turn goes out in one write
 * to the system instead of one each.
 */
function gatherWrites(socket: Socket) {
  const tcp = socket.request.socket
  socket.conn.on('flush', () => {
    if (tcp.writableCorked > 0) return
    tcp.cork()
    process.nextTick(() => tcp.uncork())
  })
}

function heardOf(day: LinkedDay): Heard {
  return { recordedAt: toRfc3339(day.now()), speed: day.speed() }
}

function refusal(): Error {
  return Object.assign(new Error('key-refused'), { data: { reason: 'key-refused' } })
}
