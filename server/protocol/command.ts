import { z } from 'zod'
import { code, role, sealNumber, words } from '../domain/log/fields.ts'
import { outcome } from '../domain/log/kindsOfDesk.ts'
import { errandId } from '../domain/log/kindsOfErrand.ts'
import { ASIDE_AT_ONCE, asideName } from './aside.ts'
import { problem } from './device.ts'

/** RFC 3339 in day time: what the desk's clock shows. */
const instant = z.iso.datetime({ offset: true })

/**
 * How long before it was sent a rover pressed the button, in seconds by the phone's own clock: a wrong clock
 * doesn't matter, only its rate. Absent: just now. Half a day at most.
 */
const agoSeconds = z.int().min(0).max(43_200).optional()

const asides = z.array(asideName).min(1).max(ASIDE_AT_ONCE)

/** What people may ask for. `id` makes a retry harmless; decisions are made by server/commands. */
export const commandBodies = {
  /** All precincts of one line, so that a cause across many is taken whole or not at all. */
  TakeCall: z.strictObject({ precincts: z.array(code).min(1).max(2_000) }),
  HandOverCall: z.strictObject({ precincts: z.array(code).min(1).max(2_000) }),
  LogCall: z.strictObject({
    precincts: z.array(code).min(1).max(2_000),
    outcome,
    until: instant.optional(),
    note: words.optional(),
  }),
  DeferCall: z.strictObject({
    precincts: z.array(code).min(1).max(2_000),
    until: instant,
    note: words.optional(),
  }),
  AddNote: z.strictObject({ precinct: code.nullable(), note: words }),
  /** Words to precincts; `to` absent: to all of them. */
  SendNotice: z.strictObject({
    to: z.array(code).min(1).max(2_000).optional(),
    text: words,
    acknowledge: z.boolean(),
  }),
  /** What somebody said on the telephone or on paper: the same kinds and bodies as a device's reports. */
  RecordReports: z.strictObject({
    precinct: code,
    via: z.enum(['caller', 'paper']),
    spoke: role,
    reports: z
      .array(
        z.strictObject({
          kind: z.string().max(60),
          at: instant.optional(),
          body: z.record(z.string(), z.unknown()),
        }),
      )
      .min(1)
      .max(50),
  }),
  /** `replaces`: a device of the precinct; who is enrolled by the code takes its place. */
  IssueCode: z.strictObject({ precinct: code, replaces: z.string().max(60).optional() }),
  RevokeDevice: z.strictObject({ device: z.string().max(60) }),
  /** Reports that were kept aside become entries of the day, at the time they happened; or are left out of it. */
  AcceptAside: z.strictObject({ precinct: code, reports: asides }),
  LeaveAside: z.strictObject({ precinct: code, reports: asides }),
  /** Sends a rover of the plan to the place of a precinct; the errand takes the command's id. */
  SendRover: z.strictObject({ rover: code, precinct: code, what: words.optional() }),
  AcceptErrand: z.strictObject({ errand: errandId, agoSeconds }),
  SetOut: z.strictObject({ errand: errandId, agoSeconds }),
  ArriveOnSite: z.strictObject({ errand: errandId, agoSeconds }),
  FinishErrand: z.strictObject({ errand: errandId, note: words.optional(), agoSeconds }),
  GiveBackErrand: z.strictObject({ errand: errandId, why: words.optional(), agoSeconds }),
  /** What a receiving station was brought: items and seals as they were found, never as they were expected. */
  CheckInReturn: z.strictObject({
    precinct: code,
    items: z.array(code).max(40),
    seals: z.array(sealNumber).max(40),
    carriers: z.int().min(1).max(6),
    deliveredBy: words.optional(),
    station: code.optional(),
    note: words.optional(),
    /** Position of the receipt that this one takes the place of: who checks in anew has seen what stands. */
    replaces: z.int().min(1).optional(),
  }),
} as const
export type CommandKind = keyof typeof commandBodies
export type CommandBody<K extends CommandKind> = z.output<(typeof commandBodies)[K]>

export const commandRequest = z.strictObject({
  id: z.uuid(),
  kind: z.enum(Object.keys(commandBodies) as [CommandKind, ...CommandKind[]]),
  body: z.record(z.string(), z.unknown()),
})
export type CommandRequest = z.output<typeof commandRequest>

/** A named reason why not, with the field where there is one. */
export const refusal = z.strictObject({
  reason: z.enum([
    'invalid',
    'not-allowed',
    'already-taken',
    'not-yours',
    'unknown-precinct',
    'unknown-rover',
    'unknown-errand',
    /** The errand or return is not where this would take it from; the message says where it is. */
    'other-state',
    'day-closed',
    'unavailable',
  ]),
  message: z.string(),
  problems: z.array(problem).optional(),
  /** Display name of who has it (`already-taken`), of the rover who is on it, or of who checked it in. */
  by: z.string().optional(),
})
export type Refusal = z.output<typeof refusal>

export const commandAnswer = z.discriminatedUnion('ok', [
  /** `result` only for IssueCode: the code, shown once. */
  z.strictObject({
    ok: z.literal(true),
    position: z.int(),
    result: z.record(z.string(), z.string()).optional(),
  }),
  z.strictObject({ ok: z.literal(false), refusal }),
])
export type CommandAnswer = z.output<typeof commandAnswer>
