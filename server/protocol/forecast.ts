import { z } from 'zod'

/** Forecasts as schemas, for the specifications and the tests that hold real answers to them. Instants: milliseconds, day time. */

const instant = z.int().describe('instant, milliseconds since 1970-01-01T00:00Z, in day time')
const chance = z.number().min(0).max(1)
const interval = {
  total: z.int().describe('the middle'),
  low80: z.int(),
  high80: z.int().describe('80 of 100 such days lie between the two'),
  low95: z.int(),
  high95: z.int(),
}
const onLogScale = z.strictObject({ mean: z.number(), variance: z.number().min(0) })
const factor = z.strictObject({
  mean: z.number(),
  variance: z.number().min(0),
  curveVariance: z.number().min(0),
  curveCovariance: z.number(),
})

const county = z.strictObject({
  ...interval,
  came: z.int().describe('voters in the latest sound counts'),
  cameNow: z.number().min(0).describe('the same carried on to the forecast’s instant'),
  pace: z.number().nullable().describe('percent against the plan at the counts’ own instants'),
  profile: z
    .array(z.number())
    .length(120)
    .describe('share of the day’s voters per quarter hour since midnight'),
  factor: factor.describe('today’s voters against the plan’s, logarithm, with what isn’t known of the curve'),
  openingPace: onLogScale.describe('how long opening steps take against the plan, logarithm'),
})

const ready = z.strictObject({
  done: z.int(),
  of: z.int(),
  chance: chance.describe('of being ready by the legal hour'),
  by10: instant,
  by50: instant,
  by90: instant,
  holding: z.string().nullable().describe('the step that holds it up; null: all are done'),
  helpBy: instant.nullable(),
  latePeople: z.number().min(0).describe('expected to come between the legal hour and being ready'),
  lateVoterMinutes: z.number().min(0).describe('their waiting, summed'),
})
const turnout = z.strictObject({
  ...interval,
  came: z.strictObject({ is: z.int(), at: instant }).nullable(),
  pace: z.number().nullable(),
  logSd: z.number().min(0),
})
const line = z.strictObject({
  inLine: z.number().min(0),
  said: z.strictObject({ is: z.int(), at: instant }).nullable(),
  waitNow: z.number().min(0).describe('minutes'),
  chance: chance.describe('that who comes within two hours waits longer than the policy’s long line'),
  worst: z.strictObject({ at: instant, chance }).nullable(),
  bottleneck: z.enum(['check-in', 'booths', 'tabulator']),
  load: z.number().min(0),
  voterMinutes: z.number().min(0),
  how: z
    .enum(['exact', 'far-from-long', 'averages', 'blocked'])
    .describe(
      'exact; or by averages: no long wait could come of it, it is too large, or nobody gets through',
    ),
  serviceMinutes: z.number().min(0),
  seenMinutes: z.number().min(0),
})
const ballots = z.strictObject({
  left: z.number().min(0),
  countedAt: instant,
  wanted: z.number().min(0),
  wanted90: z.number().min(0),
  chance: chance.describe('that the stock ends before closing'),
  endsAt: instant.nullable(),
  neededBy: instant.nullable(),
  leaveBy: instant.nullable(),
  voterMinutes: z
    .number()
    .min(0)
    .describe('of those who come from outFrom to outUntil, half of it each, times the chance'),
  outFrom: instant.nullable().describe('when it runs out, the middle of the days on which it does'),
  outUntil: instant.nullable(),
  style: z.strictObject({ style: z.string(), name: z.string(), chance }).nullable(),
})
const fault = z.strictObject({
  what: z.enum(['back', 'jump', 'stuck']),
  at: instant,
  is: z.int(),
  before: z.int(),
})

/** All of a day’s, as boards have them. */
export const forecasts = z.strictObject({
  at: instant,
  position: z.int().describe('of the entry that they were made at'),
  county,
  precincts: z.array(
    z.strictObject({
      code: z.string(),
      ready: ready.nullable(),
      turnout: turnout.nullable(),
      line: line
        .nullable()
        .describe('null: nobody votes, or it is forecast at the precinct the line is shared with'),
      ballots: ballots.nullable(),
      faults: z.array(fault).describe('counts that can’t be true beside the others'),
    }),
  ),
})

export const forecastQuery = z.strictObject({
  position: z.coerce
    .number()
    .int()
    .min(1)
    .optional()
    .describe('as they stood at this entry; absent: the latest'),
})

const inputs = z.looseObject({ code: z.string() })

/** What one precinct’s are made from. */
export const forecastInputs = z.strictObject({
  position: z.int(),
  day: z.looseObject({ at: instant }).describe('the hour, the profile, the policy, the opening steps'),
  county,
  input: inputs.describe('what the precinct said and the plan says of it, as far as forecasts need it'),
  together: z.array(inputs).describe('the precincts that stand in one line with it'),
})
