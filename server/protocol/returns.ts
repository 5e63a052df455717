import { z } from 'zod'
import { code } from '../domain/log/fields.ts'

/** What the receiving station and the desk are told of returns. Times are RFC 3339, in day time. */

const instant = z.iso.datetime({ offset: true })
const place = z.strictObject({ code, name: z.string() })

const returnDifference = z.strictObject({
  itemsMissing: z.array(z.string()),
  itemsExtra: z.array(z.string()),
  sealsMissing: z.array(z.string()),
  sealsExtra: z.array(z.string()),
})

const returnReceived = z.strictObject({
  at: instant,
  /** How it came to be known: `desk` is a check-in, `device` what the precinct's own tablet says. */
  via: z.enum(['device', 'caller', 'paper', 'desk', 'system']),
  /** Display name of who checked it in or wrote it down; null: nobody did. Who delivered it stands in the log alone. */
  by: z.string().nullable(),
  carriers: z.int().nullable(),
  station: place.nullable(),
  /** As they were found at the check-in; empty where nobody checked it in. */
  items: z.array(z.string()),
  seals: z.array(z.string()),
  position: z.int().min(1),
  /** `R-` and the position; null: only said to be received. */
  receipt: z.string().nullable(),
})

const returnOnWire = z.strictObject({
  precinct: code,
  name: z.string(),
  place,
  standing: z.string(),
  departedAt: instant.nullable(),
  /** Straight line × detour ÷ speed from its departure: an estimate. null: not under way, or the plan names no receiving place. */
  expected: z.strictObject({ at: instant, place }).nullable(),
  /** From when it is overdue, come or not. */
  overdueAt: instant,
  /** Whether it is overdue now. */
  overdue: z.boolean(),
  /**
   * What should come. Never the seals' numbers: who checks a return in types what they find.
   * `said` false: the precinct named nothing, and the seals are those that the plan has for the evening.
   */
  sent: z.strictObject({
    said: z.boolean(),
    items: z.array(z.string()).nullable(),
    seals: z.int().min(0),
    carriers: z.int().nullable(),
  }),
  received: returnReceived.nullable(),
  /** null: not checked in, or nothing to compare with. */
  difference: returnDifference.nullable(),
})

/** GET /api/v1/days/{day}/returns; `?precinct=` once or several times: only those. */
export const returnsAnswer = z.strictObject({
  now: instant,
  cursor: z.int(),
  returnBy: instant,
  overdueMinutes: z.number(),
  /** The plan's receiving places; empty: it names none. */
  stations: z.array(place),
  returns: z.array(returnOnWire),
})

export type ReturnOnWire = z.output<typeof returnOnWire>
export type ReturnsAnswer = z.output<typeof returnsAnswer>
