import { z } from 'zod'
import { outcome } from '../domain/log/kindsOfDesk.ts'
import { ruleName, tier } from '../domain/log/kindsOfSystem.ts'

/**
 * The parts of a board's picture as schemas. The server makes them and checks none of its own; the specifications
 * are made from these, and tests hold every real picture to them. Instants are milliseconds since 1970 in day time.
 */

const instant = z.int().describe('instant, milliseconds since 1970-01-01T00:00Z, in day time')
const figure = z
  .strictObject({ is: z.int(), asOf: instant })
  .nullable()
  .describe('a number and when it was so; null: nobody has said')

const standing = z.enum([
  'not-heard',
  'setting-up',
  'ready',
  'open',
  'closing',
  'closed',
  'returning',
  'received',
])

export const reason = z.strictObject({
  key: z.string(),
  rule: ruleName,
  tier,
  precinct: z.string().nullable(),
  since: instant,
  raisedAt: instant,
  figuresAt: instant,
  voterMinutes: z.int(),
  evidence: z.record(z.string(), z.union([z.number(), z.string(), z.boolean(), z.array(z.string())])),
})

const callState = z.strictObject({
  takenBy: z.string().nullable().describe('opaque id of who has the call'),
  takenAt: instant.nullable(),
  backUntil: instant.nullable().describe('steps back until then'),
  lastOutcome: z.union([outcome, z.literal('deferred')]).nullable(),
  lastAt: instant.nullable(),
})

export const callLine = z.strictObject({
  key: z.string(),
  precincts: z.array(z.string()),
  tier,
  voterMinutes: z.int(),
  since: instant,
  reasons: z.array(reason),
  call: callState,
  steppedBack: z.boolean(),
})

const strip = z.strictObject({
  setUpFrom: instant.nullable(),
  notches: z.array(instant),
  bars: z.array(z.tuple([z.int(), z.number()])).describe('voters per quarter hour since local midnight'),
  spans: z.array(
    z.strictObject({
      what: z.enum(['down', 'slot', 'silent', 'suspended']),
      from: instant,
      to: instant.nullable(),
    }),
  ),
  marks: z.array(z.tuple([z.enum(['call', 'visit', 'incident']), instant])),
})

export const boardRow = z.strictObject({
  code: z.string(),
  standing,
  heardAt: instant.nullable(),
  silentSince: instant.nullable(),
  openedAt: instant.nullable(),
  closedAt: instant.nullable(),
  suspended: z.boolean(),
  opening: z.strictObject({ done: z.int(), of: z.int(), next: z.string().nullable() }),
  closing: z.strictObject({ done: z.int(), of: z.int() }),
  team: z.strictObject({ present: z.int(), missing: z.int(), asOf: instant }).nullable(),
  tape: z.enum(['none', 'verified', 'rejected']),
  checkedIn: figure,
  expectedThen: z.int().nullable(),
  publicCount: figure,
  inLine: figure,
  inSlot: figure,
  ballotsLeft: figure,
  spoiled: figure,
  provisional: figure,
  curbside: figure,
  slotOpen: z.boolean(),
  down: z.array(z.string()),
  device: z
    .strictObject({
      id: z.string(),
      battery: z.int().nullable(),
      charging: z.boolean().nullable(),
      waiting: z.int(),
      skewSeconds: z.int(),
    })
    .nullable(),
  strip,
  reasons: z.array(reason),
  call: callState,
  departedAt: instant.nullable(),
  receivedAt: instant.nullable(),
  touchedAt: z.int().describe('position of the last entry that touched this precinct'),
})

export const errand = z.strictObject({
  id: z.string(),
  rover: z.string(),
  precinct: z.string(),
  by: z.string(),
  is: z.enum(['assigned', 'accepted', 'on-the-way', 'on-site', 'done', 'given-back']),
  assignedAt: instant,
  acceptedAt: instant.nullable(),
  onTheWayAt: instant.nullable(),
  onSiteAt: instant.nullable(),
  endedAt: instant.nullable(),
  position: z.int(),
  touchedAt: z.int(),
})
