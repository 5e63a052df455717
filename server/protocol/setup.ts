import { z } from 'zod'
import { code, words } from '../domain/log/fields.ts'
import { ruleName, tier } from '../domain/log/kindsOfSystem.ts'
import { hhmm } from '../domain/plan/plan.ts'
import { problem } from './device.ts'
import { type Role, roles } from './roles.ts'

/** What the setup pages ask and are told: days, plans, devices, people. Everything under /api/v1/setup is for `admin`. */

const dayId = z.string().min(1).max(80)
const name = z.string().trim().min(1).max(80)
const email = z.email().max(200)

/** A fault of a plan, as `plan check` prints it. */
export const faultOnWire = z.strictObject({
  file: z.string(),
  line: z.int().nullable(),
  column: z.string().nullable(),
  found: z.string(),
  message: z.string(),
})

/**
 * POST /setup/plans: the files of a plan folder as their bytes, or one zip of them. Without `keep` it is only
 * checked. Kept, its day stands in the list and may be opened or practised.
 */
export const planUpload = z.strictObject({
  files: z
    .array(z.strictObject({ name: z.string().min(1).max(120), base64: z.base64() }))
    .min(1)
    .max(40),
  keep: z.boolean(),
})
export const planReport = z.discriminatedUnion('ok', [
  z.strictObject({
    ok: z.literal(true),
    day: dayId,
    hash: z.string(),
    summary: z.array(z.string()),
    /** It takes the place of a plan that was kept for this day before. */
    replaces: z.boolean(),
    kept: z.boolean(),
  }),
  z.strictObject({ ok: z.literal(false), faults: z.array(faultOnWire) }),
])

/** GET /setup/days. */
export const setupDay = z.strictObject({
  id: dayId,
  county: z.string(),
  name: z.string(),
  kind: z.enum(['election', 'practice']),
  date: z.iso.date(),
  timeZone: z.string(),
  planHash: z.string(),
  precincts: z.int(),
  /** Devices that are enrolled and not revoked. */
  devices: z.int(),
  /** `kept`: never opened. `running`: by this server. `stopped`: begun, and run by nobody now. */
  is: z.enum(['kept', 'running', 'stopped', 'closed']),
  /** Of a running day; speed 0: it stands still. */
  clock: z.strictObject({ now: z.iso.datetime(), speed: z.number() }).nullable(),
  /** Whether the simulator's tablets speak on this practice day. */
  simulated: z.boolean(),
  /** The morning of a new practice day is being played quickly, up to here. */
  morningUntil: z.iso.datetime().nullable(),
  /** What went wrong with a running practice day (its tablets ended): practising it again mends it. */
  trouble: z.string().nullable(),
  /** When it was opened, or first practised; an election day that was opened and not closed runs at every start. */
  openedAt: z.iso.datetime().nullable(),
  closedAt: z.iso.datetime().nullable(),
})
export const setupDays = z.strictObject({ days: z.array(setupDay) })

/** POST /setup/days/{day}/open: an election day runs by the real clock from now on, also after a restart. */
export const openDay = z.strictObject({})
/** POST /setup/days/{day}/practise: a practice day begins, or goes on where it stood. */
export const practiseDay = z.strictObject({
  speed: z.number().min(0.1).max(600),
  /** HH:MM of a new day: the morning before is played quickly. */
  from: hhmm.optional(),
  seed: z.int().min(0).max(4_294_967_295).default(1),
  /** With tablets that the simulator plays; without, only people speak. */
  simulated: z.boolean(),
})
/** POST /setup/days/{day}/speed: practice days only; 0 stands still. */
export const setSpeed = z.strictObject({ speed: z.number().min(0).max(600) })

/** What a trainer may let happen at a precinct of a simulated practice day. */
export const trainerFaults = [
  'tabulator-down',
  'tabulator-back',
  'accessible-down',
  'accessible-back',
  'slot-left-open',
  'long-line',
  'line-short',
  'ballots-low',
  'tablet-dies',
  'tablet-back',
  'help-asked',
  'seal-different',
] as const
/** POST /setup/days/{day}/fault. */
export const switchFault = z.strictObject({ precinct: code, what: z.enum(trainerFaults) })
/** POST /setup/days/{day}/close: for good. `confirm` repeats the day's id, so that no slip closes a day. */
export const closeDay = z.strictObject({ confirm: dayId })
/**
 * POST /setup/days/{day}/revoke: of a day that doesn't run; its log has it when it runs next. While it runs, the
 * command RevokeDevice does it and logs it.
 */
export const revokeDevice = z.strictObject({ device: z.string().min(1).max(60) })
/** POST /setup/days/{day}/codes: fresh enrolment codes, each shown once; without a list, for every precinct. */
export const askCodes = z.strictObject({ precincts: z.array(code).max(20_000).optional() })
export const freshCodes = z.strictObject({
  codes: z.array(z.strictObject({ precinct: code, name: z.string(), place: z.string(), code: z.string() })),
})

const threshold = z.union([z.number(), z.boolean()])

/** GET /setup/days/{day}/plan: what there is to run, and the thresholds that hold; no contacts. */
const ruleSetting = z.strictObject({
  enabled: z.boolean(),
  tier,
  delayMinutes: z.number(),
  holdMinutes: z.number(),
})
export const setupPlan = z.strictObject({
  day: dayId,
  hash: z.string(),
  hours: z.strictObject({ report: hhmm, open: hhmm, close: hhmm, returnBy: hhmm }),
  officePhone: z.string(),
  places: z.array(
    z.strictObject({
      code,
      name: z.string(),
      address: z.string(),
      area: z.string(),
      latitude: z.number(),
      longitude: z.number(),
    }),
  ),
  precincts: z.array(
    z.strictObject({
      code,
      name: z.string(),
      /** Code of its place. */
      place: code,
      registered: z.int(),
      expected: z.int(),
      ballots: z.int(),
      stations: z.int(),
      workers: z.int(),
      equipment: z.array(z.strictObject({ tag: z.string(), kind: z.string(), label: z.string() })),
      /** Devices that are enrolled and not revoked. */
      devices: z.int(),
    }),
  ),
  rovers: z.int(),
  seals: z.int(),
  steps: z.array(z.strictObject({ code, phase: z.enum(['opening', 'closing']), title: z.string() })),
  /** Thresholds by their path in the plan (`heartbeat.periodSeconds`), in the policy's order. */
  thresholds: z.array(z.strictObject({ path: z.string(), value: threshold, standard: threshold })),
  rules: z.array(z.strictObject({ rule: ruleName, is: ruleSetting, standard: ruleSetting })),
})

/** GET /setup/days/{day}/refused: latest first, 200 at most. */
export const refusedReports = z.strictObject({
  refused: z.array(
    z.strictObject({
      precinct: z.string().nullable(),
      device: z.string(),
      label: z.string().nullable(),
      number: z.int(),
      /** Day time. */
      receivedAt: z.iso.datetime(),
      kind: z.string().nullable(),
      /** JSON as it was sent, but for what people wrote in words. */
      sent: z.string(),
      problems: z.array(problem),
      /** The desk may accept it: of a tablet that was replaced, or under a number used before with other content. */
      aside: z.boolean(),
      /** The desk's answer; null: none yet. `by` is a name, where it is known. */
      answer: z
        .strictObject({ is: z.enum(['accepted', 'left']), by: z.string().nullable(), at: z.iso.datetime() })
        .nullable(),
    }),
  ),
})

/** GET /setup/backups: the automatic ones. */
export const backups = z.strictObject({
  on: z.boolean(),
  /** On the server's machine. */
  folder: z.string().nullable(),
  everyMinutes: z.number().nullable(),
  /** The last good one. */
  last: z.strictObject({ file: z.string(), bytes: z.int(), madeAt: z.iso.datetime() }).nullable(),
  /** When it was last seen that this one holds all there is. */
  unchangedAt: z.iso.datetime().nullable(),
  /** Why the last try failed; null: it did not. */
  problem: z.strictObject({ at: z.iso.datetime(), message: z.string() }).nullable(),
})

/** What was asked was done, or why not, by field. */
export const done = z.discriminatedUnion('ok', [
  z.strictObject({ ok: z.literal(true) }),
  z.strictObject({
    ok: z.literal(false),
    problems: z.array(problem),
  }),
])

/** GET /setup/people. */
export const account = z.strictObject({
  id: z.string(),
  name: z.string(),
  email: z.string().nullable(),
  role: z.enum(roles),
  post: z.string().nullable(),
  /** `invited`: has no password yet. `off`: may not sign in. */
  is: z.enum(['invited', 'active', 'off']),
  sessions: z.int(),
})
export const accounts = z.strictObject({ people: z.array(account) })
/** POST /setup/people: makes an account; the answer's link is shown once. */
export const invite = z.strictObject({ name, email, role: z.enum(roles), post: code.optional() })
/** POST /setup/people/{person}: what is given is changed; a changed role or `off` ends their sessions at once. */
export const changeAccount = z.strictObject({
  name: name.optional(),
  role: z.enum(roles).optional(),
  post: code.nullable().optional(),
  off: z.boolean().optional(),
})
/** POST /setup/people/{person}/link: a fresh one-time link, to set a password or (`signIn`) to sign in without one. */
export const askLink = z.strictObject({ for: z.enum(['password', 'sign-in']) })
/** `link` is a path of this server. */
export const linkMade = z.strictObject({ person: z.string(), link: z.string(), validUntil: z.iso.datetime() })

/**
 * What a token may be: everything but an administrator. It has no end, and with that role whoever finds it could make
 * accounts.
 */
export const tokenRoles = ['desk', 'rover', 'supervisor', 'receiving'] as const satisfies readonly Role[]
export type TokenRole = (typeof tokenRoles)[number]

/** GET /setup/tokens, POST /setup/tokens, POST /setup/tokens/{token}/end: bearer tokens of programs, each with a role. */
const apiTokenLine = z.strictObject({
  id: z.string(),
  label: z.string(),
  role: z.enum(roles),
  madeAt: z.iso.datetime(),
  usedAt: z.iso.datetime().nullable(),
})
export const apiTokens = z.strictObject({ tokens: z.array(apiTokenLine) })
export const makeToken = z.strictObject({
  label: words.max(80),
  role: z.enum(tokenRoles, {
    error: ({ input }) =>
      input === 'admin'
        ? `no token acts as an administrator: choose ${tokenRoles.join(', ')}; an administrator signs in`
        : undefined,
  }),
})
/** The token is shown once. */
export const tokenMade = z.strictObject({ id: z.string(), token: z.string() })
