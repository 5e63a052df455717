import { z } from 'zod'
import { ruleName, tier } from '../domain/log/kindsOfSystem.ts'
import { problem } from './device.ts'
import { forecasts } from './forecast.ts'
import { boardNotice } from './notices.ts'
import { boardRow, callLine, errand } from './picture.ts'

/** What the API answers, as schemas: the specifications are made from these. Times are RFC 3339. */

const time = z.iso.datetime({ offset: true })
const head = z.strictObject({
  position: z.int(),
  hash: z.string().describe('SHA-256 in hexadecimal digits over the hash before and the entry’s text'),
})

/** Every refusal, on any route: which field, what is wrong; `retryAfter` in milliseconds where waiting helps. */
export const refused = z.strictObject({
  ok: z.literal(false),
  problems: z.array(problem),
  retryAfter: z.int().optional(),
})

export const daysAnswer = z.strictObject({
  days: z.array(
    z.strictObject({
      id: z.string(),
      county: z.string(),
      name: z.string(),
      kind: z.enum(['election', 'practice']),
      date: z.iso.date(),
      running: z.boolean(),
    }),
  ),
})

export const boardAnswer = z.strictObject({
  cursor: z.int(),
  head,
  now: time,
  speed: z.number(),
  precincts: z.array(
    z.strictObject({
      name: z.string(),
      ...boardRow.shape,
      heardAt: time.nullable(),
      silentSince: time.nullable(),
      openedAt: time.nullable(),
      closedAt: time.nullable(),
      departedAt: time.nullable(),
      receivedAt: time.nullable(),
    }),
  ),
})

export const callsAnswer = z.strictObject({
  calls: z.array(
    z.strictObject({
      precinct: z.string().nullable().describe('null: one cause across several'),
      precincts: z.array(z.string()),
      tier,
      voterMinutes: z.int(),
      since: time,
      reasons: z.array(
        z.strictObject({
          rule: ruleName,
          tier,
          since: time,
          raisedAt: time,
          text: z.string(),
          ask: z.string(),
          ends: z.string(),
          voterMinutes: z.int(),
          evidence: z.record(z.string(), z.unknown()),
        }),
      ),
      takenBy: z.string().nullable(),
      backUntil: time.nullable(),
      steppedBack: z.boolean(),
    }),
  ),
})

const entryOnWire = z.strictObject({
  position: z.int(),
  kind: z.string(),
  version: z.int(),
  precinct: z.string().nullable(),
  source: z.string(),
  number: z.int().nullable(),
  occurredAt: time,
  recordedAt: time,
  origin: z.record(z.string(), z.unknown()),
  body: z.record(z.string(), z.unknown()),
  detail: z.record(z.string(), z.string()).optional().describe('words that can be erased; by role'),
  hash: z.string(),
})

export const logAnswer = z.strictObject({ entries: z.array(entryOnWire), head })

const contact = z.strictObject({ role: z.string(), name: z.string(), phone: z.string() })

export const precinctAnswer = z.strictObject({
  code: z.string(),
  place: z.strictObject({ name: z.string(), address: z.string(), phone: z.string().nullable() }),
  contacts: z.array(contact).describe('empty for roles that make no calls'),
  entries: z.array(entryOnWire).describe('latest first, at most 100'),
})

export const phonesAnswer = z.strictObject({ phones: z.record(z.string(), z.array(contact)) })

export const devicesAnswer = z.strictObject({
  devices: z.array(
    z.strictObject({
      id: z.string(),
      day: z.string(),
      precinct: z.string(),
      label: z.string(),
      enrolledAt: z.int().describe('wall time, milliseconds'),
      revokedAt: z.int().nullable(),
      replacedAt: z.int().nullable().describe('another took its place: what it says is kept aside'),
    }),
  ),
  refused: z.array(
    z.strictObject({
      source: z.string(),
      number: z.int(),
      receivedAt: z.int(),
      sent: z.string().describe('JSON as it was sent'),
      problems: z.array(problem),
      aside: z
        .boolean()
        .describe(
          'kept for the desk: of a replaced device, or under a number used before with other content',
        ),
      answer: z
        .strictObject({ is: z.enum(['accepted', 'left']), by: z.string().nullable(), at: z.int() })
        .nullable()
        .describe('the desk’s; `by` is a person’s id, `at` day time in milliseconds'),
    }),
  ),
})

/** What a board on the socket is given first; the state of a past instant has the same form. */
export const snapshot = z.strictObject({
  log: z.string(),
  cursor: z.int(),
  head,
  now: z.int(),
  speed: z.number(),
  plan: z.looseObject({}).describe('the still part: names, hours as instants, profile, rovers'),
  rows: z.array(boardRow),
  calls: z.array(callLine),
  errands: z.array(errand),
  notices: z.array(boardNotice),
  people: z.record(z.string(), z.string()),
  forecasts: forecasts
    .nullable()
    .describe('the latest; null: none yet, or a past picture, whose forecasts are asked for by its position'),
})

export const patch = z.strictObject({
  log: z.string(),
  from: z.int(),
  to: z.int(),
  head,
  now: z.int(),
  speed: z.number(),
  rows: z.array(boardRow),
  calls: z.array(callLine).optional(),
  errands: z.array(errand).optional(),
  notices: z.array(boardNotice).optional(),
  people: z.record(z.string(), z.string()).optional(),
  forecasts: forecasts.optional().describe('where there are newer ones; of the precincts those that changed'),
})

export const subscribeAnswer = z.union([
  z.strictObject({ ok: z.literal(true), snapshot }),
  z.strictObject({ ok: z.literal(true), patches: z.array(patch) }),
  z.strictObject({ ok: z.literal(false), problems: z.array(problem) }),
])
