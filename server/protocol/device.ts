import { z } from 'zod'
import { precinctKinds } from '../domain/log/kindsOfPrecinct.ts'

/** Version of the wire, and the oldest that is still served. Pinned by tests/server/wire.test.ts. */
export const WIRE = { version: 1, floor: 1 } as const

export const LIMITS = {
  /** One report as JSON text. */
  reportBytes: 8 * 1024,
  /** One request. */
  batchReports: 500,
  batchBytes: 256 * 1024,
} as const

const instant = z.iso.datetime({ offset: true })

/**
 * The envelope is checked first and by itself: a request that fails here is not a request. Each report's kind
 * and body are then checked one by one (intake), so one bad report never costs the others.
 */
export const reportEnvelope = z.strictObject({
  number: z.int().min(1).max(Number.MAX_SAFE_INTEGER),
  at: instant,
  kind: z.string().max(60),
  body: z.looseObject({}),
})
export const reportRequest = z.strictObject({
  sentAt: instant.optional(),
  reports: z.array(reportEnvelope).max(LIMITS.batchReports),
})
export type ReportRequest = z.output<typeof reportRequest>
export type ReportEnvelope = z.output<typeof reportEnvelope>

const heartbeatBody = precinctKinds.HeartbeatReceived.body
export const heartbeatRequest = z.strictObject({ sentAt: instant.optional(), ...heartbeatBody.shape })
export type HeartbeatRequest = z.output<typeof heartbeatRequest>

export const problem = z.strictObject({ path: z.string(), message: z.string() })
export type Problem = z.output<typeof problem>

export const reportAnswer = z.discriminatedUnion('ok', [
  z.strictObject({
    ok: z.literal(true),
    upTo: z.int().min(0),
    refused: z.array(z.strictObject({ number: z.int(), problems: z.array(problem) })),
  }),
  z.strictObject({
    ok: z.literal(false),
    upTo: z.int().min(0),
    /** A gap: the number that is wanted next. */
    next: z.int().min(1).optional(),
    /** Wait this many milliseconds and send again; no number is consumed. */
    retryAfter: z.int().min(0).optional(),
    /** The request itself could not be read, or the key is no longer good. */
    problems: z.array(problem).optional(),
  }),
])
export type ReportAnswer = z.output<typeof reportAnswer>

export const heartbeatAnswer = z.discriminatedUnion('ok', [
  z.strictObject({ ok: z.literal(true), recordedAt: instant, upTo: z.int().min(0) }),
  z.strictObject({
    ok: z.literal(false),
    retryAfter: z.int().optional(),
    problems: z.array(problem).optional(),
  }),
])
export type HeartbeatAnswer = z.output<typeof heartbeatAnswer>

/** Server → device: the day's time and how fast it runs (1 on a real day). */
export const heard = z.strictObject({ recordedAt: instant, speed: z.number().positive() })
export type Heard = z.output<typeof heard>

/** Server → device (`closed` event): this day takes no more reports; what still waits stays with the device. */
export const dayIsClosed = z.strictObject({ day: z.string() })
export type DayIsClosed = z.output<typeof dayIsClosed>

export const enrolRequest = z.strictObject({
  code: z.string().trim().min(8).max(40),
  /** What to call this device in setup. */
  label: z.string().trim().max(60).optional(),
  /** What this tablet speaks for already: a code of another day or of one of these precincts is not used up. */
  beside: z
    .strictObject({ day: z.string().max(120), precincts: z.array(z.string().max(80)).max(12) })
    .optional(),
})
export const enrolAnswer = z.discriminatedUnion('ok', [
  z.strictObject({
    ok: z.literal(true),
    device: z.string(),
    key: z.string(),
    day: z.string(),
    precinct: z.string(),
    upTo: z.int(),
  }),
  z.strictObject({ ok: z.literal(false), problems: z.array(problem), retryAfter: z.int().optional() }),
])
export type EnrolAnswer = z.output<typeof enrolAnswer>

/** Server → device (`plan` event, GET /api/v1/device): what this precinct needs of the plan and of what the office has. */
export const devicePlan = z.strictObject({
  wire: z.int(),
  day: z.string(),
  kind: z.enum(['election', 'practice']),
  county: z.string(),
  dayName: z.string(),
  timeZone: z.string(),
  opensAt: instant,
  closesAt: instant,
  officePhone: z.string(),
  precinct: z.strictObject({
    code: z.string(),
    name: z.string(),
    place: z.string(),
    workers: z.int(),
    ballots: z.int(),
  }),
  tabulators: z.array(z.strictObject({ tag: z.string(), label: z.string() })),
  equipment: z.array(z.strictObject({ tag: z.string(), kind: z.string(), label: z.string() })),
  /** Containers whose seals are checked in the morning; the expected numbers stay in the office. */
  containers: z.array(z.string()),
  roles: z.array(z.string()),
  steps: z.array(
    z.strictObject({
      code: z.string(),
      phase: z.enum(['opening', 'closing']),
      title: z.string(),
      after: z.array(z.string()),
      byTwo: z.boolean(),
      completedBy: z.enum(['step', 'team', 'seals', 'tape']),
    }),
  ),
  heartbeatSeconds: z.number(),
  countEveryMinutes: z.number(),
  /** What the office has so far, so that a new tablet goes on from there. */
  has: z.strictObject({
    standing: z.string(),
    steps: z.array(z.string()),
    tapes: z.record(z.string(), z.string()),
    seals: z.array(z.string()),
    polls: z.enum(['not-open', 'open', 'suspended', 'closed']),
    slotOpen: z.boolean(),
    down: z.array(z.string()),
    checkedIn: z.int().nullable(),
    /** When the voters checked in were counted last, in day time. */
    countedAt: instant.nullable(),
    inSlot: z.int().nullable(),
    ballotsLeft: z.int().nullable(),
    departed: z.boolean(),
  }),
})
export type DevicePlan = z.output<typeof devicePlan>
