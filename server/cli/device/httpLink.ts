import type { z } from 'zod'
import { readAs } from '../../domain/log/check.ts'
import { heartbeatAnswer, reportAnswer } from '../../protocol/device.ts'
import { ANSWER_MS, type DeviceLink, type LinkSetting } from './link.ts'

/**
 * A device without a socket: `POST /api/v1/reports` and `/api/v1/heartbeat`, whose answers are the socket's. It hears
 * nothing that it doesn't ask for: no plan, and the day's time from its heartbeats alone.
 */
export function httpLink({ url, key, on }: Omit<LinkSetting, 'anyCertificate'>): DeviceLink {
  let over = false

  async function ask<S extends z.ZodType>(path: string, message: object, schema: S) {
    if (over) return null
    try {
      const response = await fetch(`${url}${path}`, {
        method: 'POST',
        headers: { 'content-type': 'application/json', authorization: `Bearer ${key}` },
        body: JSON.stringify(message),
        signal: AbortSignal.timeout(ANSWER_MS),
      })
      if (response.status === 401 && !over) {
        over = true
        on.keyRefused?.()
        return null
      }
      const parsed = readAs(schema, await response.json())
      return parsed.success && !over ? parsed.data : null
    } catch {
      return null
    }
  }

  return {
    isUp: () => !over,
    report: request => ask('/api/v1/reports', request, reportAnswer),
    heartbeat: request => ask('/api/v1/heartbeat', request, heartbeatAnswer),
    close: () => {
      over = true
    },
  }
}
