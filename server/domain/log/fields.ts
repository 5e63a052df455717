import { z } from 'zod'

/** The small shared vocabulary of entry bodies: every limit of a field stands here once. */

export const count = z.int().min(0).max(1_000_000)
export const code = z
  .string()
  .min(1)
  .max(40)
  .regex(/^[A-Za-z0-9][A-Za-z0-9._-]*$/, 'letters, digits, dot, dash or underscore')
export const tag = code
export const sealNumber = z.string().trim().min(1).max(40)
export const words = z.string().trim().min(1).max(1_000)
/** RFC 3339 with Z or an offset. On the wire by the device's clock; in the log converted to day time, UTC. */
export const instant = z.iso.datetime({ offset: true })

export const problemOfTape = z.enum([
  'precinct-name',
  'not-zero',
  'public-count',
  'ballot-order',
  'seal-number',
  'signatures',
  'not-printed',
  'other',
])

/** Categories used in public contingency guides for polling places (trade: common practice). */
export const incidentCategory = z.enum([
  'place-not-open',
  'equipment',
  'supplies',
  'long-line',
  'workers',
  'power',
  'communications',
  'weather',
  'security',
  'medical',
  'access',
  'conduct',
  'custody',
  'other',
])

export const role = z.string().trim().min(1).max(40)

/**
 * Two people did it together; and that they are of different parties. Which parties these are is asked nowhere and
 * kept nowhere.
 */
export const twoPeople = { byTwo: z.boolean().optional(), partiesDiffer: z.boolean().optional() }

/** Counts typed by people at one moment. `publicCount` is sheets per tabulator tag. */
export const countsShape = {
  checkedIn: count.optional(),
  publicCount: z.record(tag, count).optional(),
  inLine: count.optional(),
  inSlot: count.optional(),
  spoiled: count.optional(),
  provisional: count.optional(),
  curbside: count.optional(),
  ballotsLeft: count.optional(),
}
export type CountName = Exclude<keyof typeof countsShape, 'publicCount'>
