import { readFileSync, renameSync, writeFileSync } from 'node:fs'
import { z } from 'zod'
import { code } from '../../server/domain/log/fields.ts'
import { trainerFaults } from '../../server/protocol/setup.ts'
import type { Order } from './trainer.ts'

/** The trainer's orders of a day, in their order: without them a simulator that is started again would play another day. */
const ordersFile = z.array(z.strictObject({ precinct: code, what: z.enum(trainerFaults), at: z.int() }))

export function readOrders(path: string): { orders: Order[] } | { problem: string } {
  let text: string
  try {
    text = readFileSync(path, 'utf8')
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return { orders: [] }
    return { problem: `${path}: ${error instanceof Error ? error.message : error}` }
  }
  try {
    return { orders: ordersFile.parse(JSON.parse(text)) }
  } catch {
    return { problem: `${path}: a list of {"precinct", "what", "at"}` }
  }
}

/** Written whole beside it and put in its place, before anything of the order is said. */
export function writeOrders(path: string, orders: readonly Order[]): void {
  writeFileSync(`${path}.new`, `${JSON.stringify(orders, null, 2)}\n`, { mode: 0o600 })
  renameSync(`${path}.new`, path)
}

/** The tablets say nothing until they may speak again, at a speed; `hush` is answered by {"quiet": true}. */
export const hushLine = z.union([
  z.strictObject({ hush: z.literal(true) }),
  z.strictObject({ speak: z.number().positive() }),
])

/** A line of standard input: the number of an order, answered by it, and what is to happen where. */
export const orderLine = z.strictObject({
  order: z.int(),
  fault: z.strictObject({ precinct: code, what: z.enum(trainerFaults) }),
})
