import { io } from 'socket.io-client'
import type { z } from 'zod'
import { readAs } from '../../domain/log/check.ts'
import {
  dayIsClosed,
  devicePlan,
  heard,
  heartbeatAnswer,
  notice,
  reportAnswer,
} from '../../protocol/device.ts'
import { ANSWER_MS, type DeviceLink, type LinkSetting } from './link.ts'

/** The office itself ended the link or let nobody in: come again after this, where it doesn't say when. */
const TRY_AGAIN_MS = 1_000

/**
 * A device on namespace `/precinct`. It joins again by itself after every break; what was under way then is without
 * an answer, and nothing is sent twice: that is decided elsewhere (sending.ts).
 */
export function socketLink({ url, key, on, anyCertificate = false }: LinkSetting): DeviceLink {
  const socket = io(`${url}/precinct`, {
    auth: { key },
    transports: ['websocket'],
    forceNew: true,
    rejectUnauthorized: !anyCertificate,
    reconnectionDelay: 300,
    reconnectionDelayMax: 3_000,
  })
  let over = false
  let again: NodeJS.Timeout | undefined

  function listen<S extends z.ZodType>(event: string, schema: S, use?: (message: z.output<S>) => void) {
    if (!use) return
    socket.on(event, (message: unknown) => {
      const parsed = readAs(schema, message)
      if (!over && parsed.success) use(parsed.data)
    })
  }

  function comeAgain(ms: number) {
    clearTimeout(again)
    again = setTimeout(() => socket.connect(), ms)
  }

  function end() {
    over = true
    clearTimeout(again)
    socket.disconnect()
  }

  socket.on('connect', () => on.up?.())
  socket.on('disconnect', () => {
    if (over) return
    on.down?.()
    // Ended by the office: the library doesn't come back by itself. If the key is no longer good, it is told then.
    if (!socket.active) comeAgain(TRY_AGAIN_MS)
  })
  socket.on('connect_error', (error: Error & { data?: { reason?: string; retryAfter?: number } }) => {
    if (over) return
    if (error.data?.reason === 'key-refused') {
      end()
      on.keyRefused?.()
    } else if (!socket.active) comeAgain(error.data?.retryAfter ?? TRY_AGAIN_MS)
  })
  listen('heard', heard, on.heard)
  listen('plan', devicePlan, on.plan)
  listen('notice', notice, on.notice)
  listen('closed', dayIsClosed, () => on.closed?.())

  async function ask<S extends z.ZodType>(event: string, message: object, schema: S) {
    if (!socket.connected) return null
    try {
      const answer: unknown = await socket.timeout(ANSWER_MS).emitWithAck(event, message)
      const parsed = readAs(schema, answer)
      return parsed.success ? parsed.data : null
    } catch {
      return null
    }
  }

  return {
    isUp: () => socket.connected,
    report: request => ask('report', request, reportAnswer),
    heartbeat: request => ask('heartbeat', request, heartbeatAnswer),
    close: end,
  }
}
