import { z } from 'zod'
import { precinctKinds } from '../domain/log/kindsOfPrecinct.ts'
import { guideName } from '../domain/plan/guides.ts'
import { card, pagePolicy, titlesByLanguage } from '../domain/plan/precinctPage.ts'

/** Version of the wire, and the oldest that is still served. Pinned by tests/server/wire.test.ts. */
export const WIRE = { version: 1, floor: 1 } as const

export const LIMITS = {
  /** One report as JSON text. */
  reportBytes: 8 * 1024,
  /** One request. */
  batchReports: 500,
  batchBytes: 256 * 1024,
} as const

/** Notices that a device is given anew when it links up: the latest. */
export const NOTICES = 40

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

/** Server → device (`notice` event): what the desk has to say to this precinct; `id` is the entry's position. */
export const notice = z.strictObject({
  id: z.int().min(1),
  at: instant,
  text: z.string(),
  acknowledge: z.boolean(),
})
export type Notice = z.output<typeof notice>

/** What was done with a seal, or to its container; `opened`: the ballot box was opened by people. */
const sealWork = z.strictObject({
  at: instant,
  container: z.string(),
  act: z.enum(['found', 'applied', 'removed', 'opened']),
  number: z.string().nullable(),
  state: z.enum(['intact', 'broken', 'missing']),
})

/**
 * Server → device (`plan` event, GET /api/v1/device): what this precinct needs of the plan and of what the office has.
 * An older page leaves aside what it doesn't know.
 */
export const devicePlan = z.object({
  wire: z.int(),
  day: z.string(),
  kind: z.enum(['election', 'practice']),
  county: z.string(),
  dayName: z.string(),
  timeZone: z.string(),
  opensAt: instant,
  closesAt: instant,
  officePhone: z.string(),
  precinct: z.object({
    code: z.string(),
    name: z.string(),
    place: z.string(),
    workers: z.int(),
    ballots: z.int(),
    /** Sheets of a ballot: public counts are sheets. */
    sheets: z.int(),
    /** `centrally`: there is no tabulator here. */
    counted: z.enum(['here', 'centrally']),
  }),
  titles: titlesByLanguage.optional(),
  /** Whom to ring, by role; no names. */
  contacts: z.array(z.object({ role: z.string(), phone: z.string() })),
  tabulators: z.array(z.object({ tag: z.string(), label: z.string() })),
  equipment: z.array(z.object({ tag: z.string(), kind: z.string(), label: z.string() })),
  /** Containers whose seals are checked in the morning; the expected numbers stay in the office. */
  containers: z.array(z.string()),
  /** Containers that are sealed in the evening. */
  closingContainers: z.array(z.string()),
  /**
   * Whether a number is the expected one can be told from this without showing what is expected: by container the
   * fingerprint of the number (domain/plan/sealPrint.ts).
   */
  sealPrints: z.record(z.string(), z.string()),
  roles: z.array(z.string()),
  steps: z.array(
    z.object({
      code: z.string(),
      phase: z.enum(['opening', 'closing']),
      title: z.string(),
      after: z.array(z.string()),
      byTwo: z.boolean(),
      completedBy: z.enum(['step', 'team', 'seals', 'tape']),
      guide: guideName.nullable(),
      how: z.string().optional(),
      see: z.string().optional(),
      titleEs: z.string().optional(),
      howEs: z.string().optional(),
      seeEs: z.string().optional(),
    }),
  ),
  /** The county's own cards of the quick reference. */
  cards: z.array(card),
  heartbeatSeconds: z.number(),
  countEveryMinutes: z.number(),
  countTolerance: z.number(),
  /** Policy's `precinctPage`. */
  page: pagePolicy,
  /** The latest of the desk's to this precinct, oldest first; `read`: it was acknowledged. */
  notices: z.array(z.object({ ...notice.shape, read: z.boolean() })).max(NOTICES),
  /** What the office has so far, so that a new tablet goes on from there. */
  has: z.object({
    standing: z.string(),
    steps: z.array(z.string()),
    tapes: z.record(z.string(), z.string()),
    seals: z.array(z.string()),
    /** Containers whose seal is wrong now: different, broken or missing. */
    sealsWrong: z.array(z.string()),
    sealWork: z.array(sealWork),
    team: z.object({ present: z.int(), missing: z.int() }).nullable(),
    polls: z.enum(['not-open', 'open', 'suspended', 'closed']),
    slotOpen: z.boolean(),
    down: z.array(z.string()),
    checkedIn: z.int().nullable(),
    /** When the voters checked in were counted last, in day time. */
    countedAt: instant.nullable(),
    inSlot: z.int().nullable(),
    ballotsLeft: z.int().nullable(),
    spoiled: z.int().nullable(),
    provisional: z.int().nullable(),
    curbside: z.int().nullable(),
    inLine: z.int().nullable(),
    publicCount: z.record(z.string(), z.int()),
    /** Tag of what stands in its place, by tag of what was replaced. */
    replaced: z.record(z.string(), z.string()),
    closingTapes: z.array(z.string()),
    reconciled: z.boolean(),
    placeMoved: z.boolean(),
    received: z.boolean(),
    departed: z.boolean(),
  }),
})
export type DevicePlan = z.output<typeof devicePlan>
