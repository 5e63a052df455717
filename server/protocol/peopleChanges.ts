import { z } from 'zod'
import { roles } from './roles.ts'

/**
 * GET /setup/people/changes: who changed what about people and programs. Sign-ins, signing out and
 * what was refused change nothing and are not recorded. Only ids are kept; names are those of today.
 */

const role = z.enum(roles)
const sessionsEnded = z.int().min(1).optional()
/** A person as they began. */
const begun = z.strictObject({ role, post: z.string().optional() })
/** What differs since; a post that is absent is none. Another name is noted, and neither is kept. */
const difference = z.strictObject({
  role: z.strictObject({ was: role, is: role }).optional(),
  post: z.strictObject({ was: z.string().optional(), is: z.string().optional() }).optional(),
  name: z.literal(true).optional(),
  sessionsEnded,
})
const ofToken = z.strictObject({ role })

/** The closed list of kinds, each with what is kept of it. The table's own check names the same (migration 0005). */
export const peopleChangeKinds = {
  PersonInvited: begun,
  /** Without an e-mail: comes in by links only. */
  PersonAdded: begun,
  PersonChanged: difference,
  PersonSwitchedOff: difference,
  PersonSwitchedOn: difference,
  LinkMade: z.strictObject({ for: z.enum(['password', 'sign-in']) }),
  /** By its owner, by a link. */
  PasswordSet: z.strictObject({ sessionsEnded }),
  TokenMade: ofToken,
  TokenEnded: ofToken,
} as const

const kind = <K extends keyof typeof peopleChangeKinds>(name: K) =>
  z.strictObject({
    position: z.int().min(1),
    at: z.iso.datetime(),
    by: z
      .strictObject({ id: z.string(), name: z.string().nullable() })
      .describe('a person; `cli`: the sunup command; `sunup`: Sunup itself'),
    about: z
      .strictObject({ id: z.string(), name: z.string().nullable() })
      .describe('a person, or a token by its label'),
    kind: z.literal(name),
    what: peopleChangeKinds[name],
  })

const peopleChange = z.discriminatedUnion('kind', [
  kind('PersonInvited'),
  kind('PersonAdded'),
  kind('PersonChanged'),
  kind('PersonSwitchedOff'),
  kind('PersonSwitchedOn'),
  kind('LinkMade'),
  kind('PasswordSet'),
  kind('TokenMade'),
  kind('TokenEnded'),
])
export type PeopleChange = z.output<typeof peopleChange>

export const peopleChangesQuery = z.object({
  before: z.coerce.number().int().min(1).optional().describe('position: only what is older'),
  limit: z.coerce.number().int().min(1).max(200).default(50),
})
export const peopleChanges = z.strictObject({
  /** Newest first. */
  changes: z.array(peopleChange),
  /** Older ones are there: ask again with `before` the last position. */
  more: z.boolean(),
  /** The county's, of the latest day that is kept; null: no day is. */
  timeZone: z.string().nullable(),
})
