import { z } from 'zod'
import { trouble } from '../plan/troubles.ts'
import {
  code,
  count,
  countsShape,
  incidentCategory,
  instant,
  problemOfTape,
  role,
  sealNumber,
  tag,
  twoPeople,
  words,
} from './fields.ts'

/** What a precinct says, through a device, by telephone or on paper. */
export const precinctKinds = {
  TeamReported: {
    version: 1,
    erasable: [],
    body: z.strictObject({
      present: count,
      /** Roles not filled, with how many are missing of each. Empty: the team is complete. */
      missing: z.array(z.strictObject({ role, howMany: count.min(1) })).max(20),
    }),
  },
  StepCompleted: {
    version: 1,
    erasable: [],
    body: z.strictObject({ step: code, ...twoPeople }),
  },
  OpeningTapeVerified: {
    version: 1,
    erasable: [],
    body: z.strictObject({ tabulator: tag, ...twoPeople }),
  },
  OpeningTapeRejected: {
    version: 1,
    erasable: ['what'],
    body: z.strictObject({
      tabulator: tag,
      problems: z.array(problemOfTape).min(1).max(8),
      what: words.optional(),
    }),
  },
  SealRecorded: {
    version: 1,
    erasable: [],
    body: z.strictObject({
      /** What the seal closes: the plan's name of the container. */
      container: code,
      found: sealNumber,
      state: z.enum(['intact', 'broken', 'missing']).default('intact'),
      /** Absent: it was looked at. `applied`: a new one was put on; `removed`: it was taken off. */
      act: z.enum(['applied', 'removed']).optional(),
    }),
  },
  PollsOpened: { version: 1, erasable: [], body: z.strictObject({ withSlot: z.boolean().optional() }) },
  PollsSuspended: {
    version: 1,
    erasable: ['what'],
    body: z.strictObject({ cause: incidentCategory, what: words.optional() }),
  },
  PollsResumed: { version: 1, erasable: [], body: z.strictObject({}) },
  PlaceMoved: { version: 1, erasable: ['to'], body: z.strictObject({ cause: incidentCategory, to: words }) },
  CountsReported: {
    version: 1,
    erasable: [],
    body: z
      .strictObject({ ...countsShape, asOf: instant.optional() })
      .refine(b => Object.entries(b).some(([k, v]) => k !== 'asOf' && v !== undefined), 'at least one count'),
  },
  LineReported: {
    version: 1,
    erasable: [],
    body: z.strictObject({ inLine: count, stationsWorking: count.optional(), asOf: instant.optional() }),
  },
  EquipmentWentDown: {
    version: 1,
    erasable: ['what'],
    body: z.strictObject({ equipment: tag, what: words.optional() }),
  },
  EquipmentRestored: {
    version: 1,
    erasable: ['what'],
    body: z.strictObject({ equipment: tag, what: words.optional() }),
  },
  EquipmentReplaced: { version: 1, erasable: [], body: z.strictObject({ equipment: tag, by: tag }) },
  EmergencySlotOpened: { version: 1, erasable: [], body: z.strictObject({ ...twoPeople }) },
  EmergencySlotLocked: {
    version: 1,
    erasable: [],
    body: z.strictObject({ inSlot: count.optional(), ...twoPeople }),
  },
  SlotBallotsFed: {
    version: 1,
    erasable: ['note'],
    body: z.strictObject({
      fed: count,
      handCounted: count.default(0),
      handedOver: count.default(0),
      ...twoPeople,
      note: words.optional(),
    }),
  },
  BallotBoxOpened: {
    version: 1,
    erasable: ['note'],
    body: z.strictObject({
      reason: z.enum(['straighten', 'remove']),
      ...twoPeople,
      byTwo: z.boolean(),
      note: words.optional(),
    }),
  },
  IncidentNoted: {
    version: 1,
    erasable: ['what', 'resolution'],
    body: z.strictObject({ category: incidentCategory, what: words, resolution: words.optional() }),
  },
  SuppliesRequested: {
    version: 1,
    erasable: ['what'],
    body: z.strictObject({
      item: z.enum(['ballots', 'pens', 'forms', 'power', 'workers', 'other']),
      howMany: count.optional(),
      what: words.optional(),
    }),
  },
  HelpRequested: {
    version: 1,
    erasable: ['what'],
    body: z.strictObject({
      about: incidentCategory,
      what: words.optional(),
      /** The opening or closing step at which it happened, and which of the guide's troubles it is (plan/troubles.ts). */
      step: code.optional(),
      trouble: trouble.optional(),
    }),
  },
  LastVoterServed: { version: 1, erasable: [], body: z.strictObject({}) },
  PollsClosed: { version: 1, erasable: [], body: z.strictObject({ stillInLine: count.optional() }) },
  ClosingTapeSigned: {
    version: 1,
    erasable: [],
    body: z.strictObject({ tabulator: tag, publicCount: count, ...twoPeople }),
  },
  CountsReconciled: {
    version: 1,
    erasable: ['explanation'],
    body: z.strictObject({
      delivered: count,
      left: count,
      tabulated: count,
      inSlot: count,
      spoiled: count,
      provisional: count,
      challenged: count.default(0),
      checkedIn: count,
      ...twoPeople,
      explanation: words.optional(),
    }),
  },
  ReturnDeparted: {
    version: 1,
    erasable: ['carriedBy'],
    body: z.strictObject({
      carriers: z.int().min(1).max(6),
      items: z.array(code).max(40),
      seals: z.array(sealNumber).max(40),
      partiesDiffer: z.boolean().optional(),
      /** Names, only where the county wants them. */
      carriedBy: words.optional(),
    }),
  },
  ReturnReceived: {
    version: 1,
    erasable: ['note', 'deliveredBy'],
    body: z.strictObject({
      items: z.array(code).max(40),
      seals: z.array(sealNumber).max(40),
      /** How many people brought it; who they were stays in the record, off every board. */
      carriers: z.int().min(1).max(6).optional(),
      deliveredBy: words.optional(),
      /** Code of the place where it was checked in. */
      station: code.optional(),
      note: words.optional(),
    }),
  },
  /** A notice of the desk was read, by the position of its entry. */
  NoticeAcknowledged: { version: 1, erasable: [], body: z.strictObject({ notice: count.min(1) }) },
  HeartbeatReceived: {
    version: 1,
    erasable: [],
    /** Only what is new against the last heartbeat. Each status and count carries its own asOf. */
    body: z.strictObject({
      status: z
        .strictObject({
          polls: z
            .strictObject({ is: z.enum(['not-open', 'open', 'suspended', 'closed']), asOf: instant })
            .optional(),
          tape: z
            .strictObject({ is: z.enum(['none', 'verified', 'rejected']), tabulator: tag, asOf: instant })
            .optional(),
          equipmentDown: z.strictObject({ is: z.array(tag).max(20), asOf: instant }).optional(),
          slot: z.strictObject({ is: z.enum(['open', 'locked']), asOf: instant }).optional(),
          returns: z.strictObject({ is: z.enum(['not-left', 'on-its-way']), asOf: instant }).optional(),
        })
        .optional(),
      counts: z
        .strictObject({
          checkedIn: z.strictObject({ is: count, asOf: instant }).optional(),
          publicCount: z.record(tag, z.strictObject({ is: count, asOf: instant })).optional(),
          inLine: z.strictObject({ is: count, asOf: instant }).optional(),
          inSlot: z.strictObject({ is: count, asOf: instant }).optional(),
          spoiled: z.strictObject({ is: count, asOf: instant }).optional(),
          provisional: z.strictObject({ is: count, asOf: instant }).optional(),
          curbside: z.strictObject({ is: count, asOf: instant }).optional(),
          ballotsLeft: z.strictObject({ is: count, asOf: instant }).optional(),
        })
        .optional(),
      device: z
        .strictObject({
          /** Charge in percent. */
          battery: z.int().min(0).max(100).optional(),
          charging: z.boolean().optional(),
          /** Reports in the outbox. */
          waiting: z.int().min(0).max(5_000).optional(),
        })
        .optional(),
    }),
  },
} as const
