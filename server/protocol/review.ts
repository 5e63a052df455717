import { z } from 'zod'
import { ruleName } from '../domain/log/kindsOfSystem.ts'

/** What the review page asks and is told. Instants in answers are milliseconds of day time, as in a snapshot. */

const views = ['known', 'happened'] as const
/** `known`: what the office had recorded by then. `happened`: what was so by then, whenever it was told. */
export type View = (typeof views)[number]

const instantText = z.iso.datetime({ offset: true })

/**
 * GET /api/v1/days/{day}/state: the board (a Snapshot with speed 0) at an instant `at`, or right after the entry at
 * `position`. An instant before the first entry counts as the first, one after a day's end as the last; one that
 * has not come yet is refused. Without either: the latest.
 */
export const stateQuery = z.strictObject({
  at: instantText.optional(),
  position: z.coerce.number().int().min(1).optional(),
  view: z.enum(views).default('known'),
})

/** GET /api/v1/days/{day}/precincts/{code}?until=…: the entries up to an instant, by the same two views. */
export const untilQuery = z.strictObject({
  until: instantText.optional(),
  view: z.enum(views).default('known'),
})

const instant = z.int()

/** GET /api/v1/days/{day}/marks: what stands on the slider. */
export const dayMarks = z.strictObject({
  day: z.string(),
  county: z.string(),
  name: z.string(),
  kind: z.enum(['election', 'practice']),
  date: z.iso.date(),
  timeZone: z.string(),
  /** Recording of the first entry; the last instant that may be asked for: now on a running day, else the last entry's. */
  first: instant,
  last: instant,
  running: z.boolean(),
  /** Last position. */
  entries: z.int(),
  opensAt: instant,
  closesAt: instant,
  quarters: z.array(z.strictObject({ from: instant, entries: z.int() })),
  /** Reasons of the tiers stop and now, at their first raising. */
  reasons: z.array(
    z.strictObject({
      at: instant,
      position: z.int(),
      tier: z.enum(['stop', 'now']),
      rule: ruleName,
      precinct: z.string().nullable(),
    }),
  ),
  reasonsLeftOut: z.int(),
})
export type DayMarks = z.output<typeof dayMarks>

/** GET /api/v1/review: the days that have a record. */
export const reviewDays = z.strictObject({
  days: z.array(
    z.strictObject({
      id: z.string(),
      county: z.string(),
      name: z.string(),
      kind: z.enum(['election', 'practice']),
      date: z.iso.date(),
      is: z.enum(['running', 'stopped', 'closed']),
    }),
  ),
})
export type ReviewDays = z.output<typeof reviewDays>
