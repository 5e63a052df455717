import { createHash } from 'node:crypto'
import { describe, expect, it } from 'vitest'
import { z } from 'zod'
import { kinds } from '../../server/domain/log/kinds.ts'
import * as board from '../../server/protocol/board.ts'
import * as command from '../../server/protocol/command.ts'
import * as device from '../../server/protocol/device.ts'

/**
 * The wire is pinned. When this fails, what crosses it has changed:
 * - old clients and servers still understand each other (something optional was added): write the new hash here;
 * - they don't: raise WIRE.version (and WIRE.floor, where old ones can't be served any more), then write it here.
 */
const PINNED = {
  version: 1,
  floor: 1,
  hash: '1b990c2e5c8d07f6a62d16d953b4a38954e1455014c6d30e8b3dd9ab9f5652ff',
}

const isSchema = (value: unknown): value is z.ZodType =>
  typeof value === 'object' && value !== null && '_zod' in value

/** JSON Schema of everything in a module that is a schema, and of what stands in its plain objects. */
function described(module: Record<string, unknown>): Record<string, unknown> {
  const found: Record<string, unknown> = {}
  for (const name of Object.keys(module).sort()) {
    const value = module[name]
    if (isSchema(value)) found[name] = z.toJSONSchema(value, { io: 'input', unrepresentable: 'any' })
    else if (typeof value === 'object' && value !== null && !Array.isArray(value)) {
      const inner = described(value as Record<string, unknown>)
      if (Object.keys(inner).length > 0) found[name] = inner
    } else if (Array.isArray(value)) found[name] = value
  }
  return found
}

function hashOf(value: unknown): string {
  return createHash('sha256').update(JSON.stringify(value)).digest('hex')
}

/** Bodies of reports travel inside the envelope, so the kinds are part of the wire. */
const bodies = Object.fromEntries(
  Object.entries(kinds).map(([kind, { version, body }]) => [
    kind,
    { version, body: z.toJSONSchema(body as z.ZodType, { io: 'input', unrepresentable: 'any' }) },
  ]),
)

describe('the wire', () => {
  it('is the one that its version names', () => {
    const wire = {
      device: described(device),
      limits: device.LIMITS,
      board: described(board),
      command: described(command),
      bodies,
    }
    expect({ ...device.WIRE, hash: hashOf(wire) }, 'see the head of this file').toEqual(PINNED)
  })

  it('is described whole: every message of devices, boards and commands is in it (the pin can fail)', () => {
    expect(Object.keys(described(device))).toEqual(
      expect.arrayContaining([
        'devicePlan',
        'enrolAnswer',
        'enrolRequest',
        'heard',
        'heartbeatAnswer',
        'heartbeatRequest',
        'reportAnswer',
        'reportRequest',
      ]),
    )
    expect(Object.keys(described(command))).toEqual(
      expect.arrayContaining(['commandAnswer', 'commandBodies', 'commandRequest', 'refusal']),
    )
    expect(Object.keys(described(board))).toEqual(['subscribeRequest'])
    const before = described({ x: z.strictObject({ a: z.string().max(5) }) })
    expect(hashOf(described({ x: z.strictObject({ a: z.string().max(6) }) }))).not.toBe(hashOf(before))
    expect(hashOf(described({ x: z.strictObject({ a: z.string().max(5).optional() }) }))).not.toBe(
      hashOf(before),
    )
  })
})
