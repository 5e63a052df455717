import type { Device } from '../access/access.ts'
import type { Intake } from '../intake/intake.ts'
import { type DevicePlan, type HeartbeatAnswer, LIMITS, type ReportAnswer } from '../protocol/device.ts'
import { type Answer, refuse } from './answer.ts'
import type { Asked, Route } from './routes.ts'

/** For programs without a socket: the same schemas and answers as namespace `/precinct`. */
export function deviceRoutes(deps: {
  intake: Intake
  devicePlan(device: Device): DevicePlan | null
}): Route[] {
  return [
    {
      method: 'POST',
      pattern: '/api/v1/reports',
      who: ['device'],
      body: LIMITS.batchBytes,
      handle: async asked => answer(await deps.intake.report(deviceOf(asked), asked.body)),
    },
    {
      method: 'POST',
      pattern: '/api/v1/heartbeat',
      who: ['device'],
      body: LIMITS.reportBytes,
      handle: async asked => answer(await deps.intake.heartbeat(deviceOf(asked), asked.body)),
    },
    {
      method: 'GET',
      pattern: '/api/v1/device',
      who: ['device'],
      handle: asked => {
        const plan = deps.devicePlan(deviceOf(asked))
        return plan ? { status: 200, json: plan } : refuse(404, 'The day of this device is not running.')
      },
    },
  ]
}

/** 200 dealt with; 429 wait; 409 a gap; 400 not readable. The body says the same as on the socket. */
function answer(result: ReportAnswer | HeartbeatAnswer): Answer {
  if (result.ok) return { status: 200, json: result }
  if (result.retryAfter !== undefined)
    return {
      status: 429,
      json: result,
      headers: { 'Retry-After': String(Math.ceil(result.retryAfter / 1_000)) },
    }
  return { status: 'next' in result && result.next !== undefined ? 409 : 400, json: result }
}

/** `who: ['device']` lets nobody else through. */
function deviceOf(asked: Asked): Device {
  if (!asked.caller || !('device' in asked.caller))
    throw new Error('a device route was reached without a device')
  return asked.caller.device
}
