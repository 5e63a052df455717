import { z } from 'zod'
import { type ruleName, tier } from '../log/kindsOfSystem.ts'
import { pagePolicy } from './precinctPage.ts'

const minutes = z.number().min(0).max(1_440)
const chance = z.number().min(0.01).max(0.99)
const on = (t: z.output<typeof tier>, delayMinutes: number, holdMinutes = 2) =>
  z
    .strictObject({
      enabled: z.boolean().default(true),
      tier: tier.default(t),
      /** The condition must hold this long before the reason is raised. */
      delayMinutes: minutes.default(delayMinutes),
      /** The condition must be gone this long before the reason ends. */
      holdMinutes: minutes.default(holdMinutes),
    })
    .prefault({})

/** Thresholds and tiers. All are the county's to set; the defaults are assumptions, marked as such in the README. */
export const policy = z
  .strictObject({
    heartbeat: z
      .strictObject({
        /** How often a device speaks when it has nothing new. */
        periodSeconds: z.int().min(5).max(600).default(30),
        lateAfterSeconds: z.int().min(10).max(3_600).default(120),
        silentAfterSeconds: z.int().min(20).max(7_200).default(300),
        /** After an outage of our own, deadlines restart with this grace. */
        graceSeconds: z.int().min(0).max(3_600).default(180),
        /** This share of the precincts silent at once is first of all our own link. */
        ownLinkShare: z.number().min(0.1).max(1).default(0.8),
      })
      .prefault({}),
    /** Minutes after reporting time at which a precinct that was never heard is called. */
    notHeardAfterMinutes: minutes.default(20),
    /** Minutes behind the usual times at which the opening is called late; it ends below the second. */
    behindOpeningMinutes: minutes.default(12),
    behindOpeningEndMinutes: minutes.default(5),
    /** A count older than this is missing. */
    countEveryMinutes: minutes.default(75),
    /** Wait in minutes over which a line is long (Presidential Commission on Election Administration, 2014), and under which it is not. */
    longLineMinutes: minutes.default(30),
    longLineEndMinutes: minutes.default(20),
    /** Usual minutes per voter at a check-in station: an assumption until learned. */
    checkInMinutes: z.number().positive().max(30).default(1.5),
    /** Usual minutes a voter takes to mark a ballot, and seconds a sheet takes at the tabulator: assumptions, too. */
    markMinutes: z.number().positive().max(120).default(6),
    tabulateSeconds: z.number().positive().max(600).default(20),
    /** How far a forecast may be off before the day says more: coefficients of variation, assumptions until learned. */
    unknown: z
      .strictObject({
        /** Of the whole county's turnout against the plan's. */
        turnout: z.number().min(0.01).max(1).default(0.15),
        /** Of one precinct's against the county's. */
        precinct: z.number().min(0.01).max(1).default(0.15),
        /** Of one hour's share of the day's voters. */
        profile: z.number().min(0.01).max(1).default(0.2),
      })
      .prefault({}),
    /** Chance (0–1) of not being ready by the legal hour at which an opening is called late, and below which it isn't. */
    lateOpeningChance: chance.default(0.5),
    lateOpeningEndChance: chance.default(0.3),
    /** Chance of a long wait for who comes within two hours at which a line is called growing, and below which it isn't. */
    lineGrowingChance: chance.default(0.5),
    lineGrowingEndChance: chance.default(0.25),
    /** Chance of running out at which ballots are low, and below which they aren't. */
    ballotsChance: chance.default(0.1),
    ballotsEndChance: chance.default(0.05),
    /** Ballots or voters by which counts may differ without a word: at close this must hold or be explained. */
    countTolerance: z.int().min(0).max(1_000).default(0),
    /** Slot open while the tabulator works. */
    slotForgottenMinutes: minutes.default(10),
    /** Ballots needed for each voter still expected: a little more than one, since some are spoiled. */
    ballotsMargin: z.number().min(0.5).max(3).default(1.05),
    notClosedAfterMinutes: minutes.default(45),
    returnOverdueMinutes: minutes.default(90),
    /** Mean road speed and road to straight-line ratio, until there is a travel table. */
    travel: z
      .strictObject({
        kmPerHour: z.number().positive().default(45),
        detour: z.number().min(1).max(5).default(1.35),
      })
      .prefault({}),
    /** Voter-minutes at risk look this far ahead. */
    horizonMinutes: minutes.default(60),
    /** How long a line that was noted as solved or unanswered steps back before it returns by itself. */
    stepBackMinutes: minutes.default(10),
    precinctPage: pagePolicy.prefault({}),
    rules: z
      .strictObject({
        'not-heard': on('soon', 0),
        'team-short': on('soon', 2),
        'behind-on-opening': on('soon', 2),
        'not-open': on('stop', 0, 0),
        'tape-rejected': on('stop', 0, 0),
        'seal-different': on('stop', 0, 0),
        'tabulator-down': on('now', 1),
        'accessible-down': on('now', 1),
        'slot-in-use': on('watch', 2),
        'slot-forgotten': on('soon', 0),
        'count-missing': on('watch', 5),
        'long-line': on('now', 2, 5),
        'line-growing': on('soon', 2, 5),
        'count-doubtful': on('watch', 0),
        'counts-apart': on('watch', 10, 5),
        'not-reconciled': on('soon', 5, 0),
        'ballots-low': on('soon', 5, 10),
        silent: on('soon', 0, 0),
        'help-asked': on('now', 0, 0),
        'place-moved': on('now', 0, 0),
        'kept-aside': on('soon', 0, 0),
        'not-closed': on('soon', 0, 0),
        'return-overdue': on('stop', 0, 0),
        'return-different': on('stop', 0, 0),
        'own-link': on('stop', 0, 1),
        'silent-together': on('soon', 0, 1),
      } satisfies Record<z.output<typeof ruleName>, z.ZodType>)
      .prefault({}),
  })
  .prefault({})

export type Policy = z.output<typeof policy>
export type Tier = z.output<typeof tier>
export type RuleName = z.output<typeof ruleName>
