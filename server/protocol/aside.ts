import { z } from 'zod'
import { problem } from './device.ts'

const time = z.iso.datetime({ offset: true })

/** Names one report that was kept aside. */
export const asideName = z.strictObject({
  device: z.string().min(1).max(60),
  number: z.int().min(1),
  /** Fingerprint of what was sent, as the list has it: a copied device may send several under one number. */
  content: z.int().min(0),
})

/** The most that are listed, and answered by one command. */
export const ASIDE_AT_ONCE = 200

/** GET /api/v1/days/{day}/precincts/{code}/aside: reports of a precinct that wait for the desk's answer. */
export const asideAnswer = z.strictObject({
  /** How many there are; the list holds the first of them, as they were received. */
  open: z.int(),
  reports: z
    .array(
      z.strictObject({
        ...asideName.shape,
        label: z.string().describe('what the tablet is called'),
        why: z.enum(['replaced', 'number-reused']),
        kind: z.string().nullable(),
        body: z.record(z.string(), z.unknown()),
        detail: z.record(z.string(), z.string()).optional(),
        occurredAt: time.nullable().describe('by the usual formula when it was received'),
        receivedAt: time,
        problems: z.array(problem).describe('why it can’t be accepted; empty: it can'),
      }),
    )
    .max(ASIDE_AT_ONCE),
})
export type AsideAnswer = z.output<typeof asideAnswer>
