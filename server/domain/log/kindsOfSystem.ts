import { z } from 'zod'
import { code, count, instant } from './fields.ts'

export const tier = z.enum(['stop', 'now', 'soon', 'watch'])
/** Names of the rules; domain/calls/rules.ts has one function for each. */
export const ruleName = z.enum([
  'not-heard',
  'team-short',
  'behind-on-opening',
  'not-open',
  'tape-rejected',
  'seal-different',
  'tabulator-down',
  'accessible-down',
  'slot-in-use',
  'slot-forgotten',
  'count-missing',
  'long-line',
  'ballots-low',
  'silent',
  'help-asked',
  'not-closed',
  'return-overdue',
  'return-different',
  'own-link',
  'line-growing',
  'count-doubtful',
  'counts-apart',
  'not-reconciled',
  'silent-together',
  'place-moved',
  'kept-aside',
])

/** Verdicts of the system: recorded once, read ever after, never recomputed. */
export const systemKinds = {
  DayOpened: {
    version: 1,
    erasable: [],
    body: z.strictObject({ planHash: z.string().length(64), kind: z.enum(['election', 'practice']) }),
  },
  DeviceEnrolled: {
    version: 1,
    erasable: [],
    body: z.strictObject({ device: z.string().max(60), replaces: z.string().max(60).optional() }),
  },
  /** Of a device this many reports were kept aside at once: it was replaced, or their numbers came before with other content. */
  ReportsKeptAside: {
    version: 1,
    erasable: [],
    body: z.strictObject({ device: z.string().max(60), howMany: count.min(1) }),
  },
  DeviceRevoked: { version: 1, erasable: [], body: z.strictObject({ device: z.string().max(60) }) },
  DevicesHeard: {
    version: 1,
    erasable: [],
    /** Precinct code to the instant of its last unchanged heartbeat since the list before. */
    body: z.strictObject({ heard: z.record(code, instant) }),
  },
  PrecinctFellSilent: {
    version: 1,
    erasable: [],
    body: z.strictObject({ heardAt: instant, silentAt: instant }),
  },
  PrecinctHeardAgain: { version: 1, erasable: [], body: z.strictObject({ silentSeconds: count }) },
  ReasonRaised: {
    version: 1,
    erasable: [],
    /** Raised again with the same key, it replaces the figures: the matter has grown or shrunk. */
    body: z.strictObject({
      key: z.string().max(120),
      rule: ruleName,
      tier,
      since: instant,
      /** Expected extra minutes of waiting, summed over voters, within the policy's horizon. */
      voterMinutes: z.int().min(0),
      /** The figures the reason stands on; its words are made from these (domain/calls/words.ts). */
      evidence: z.record(z.string(), z.union([z.number(), z.string(), z.boolean(), z.array(z.string())])),
    }),
  },
  /**
   * The day's forecasts were made from what the log held up to here: live, in the replay and on every node they are
   * reckoned from this same beginning of the log.
   */
  ForecastMade: { version: 1, erasable: [], body: z.strictObject({}) },
  ReasonEnded: {
    version: 1,
    erasable: [],
    body: z.strictObject({ key: z.string().max(120), rule: ruleName }),
  },
  ServiceResumed: {
    version: 1,
    erasable: [],
    body: z.strictObject({ lastKnownAt: instant, graceUntil: instant }),
  },
  DetailErased: {
    version: 1,
    erasable: [],
    body: z.strictObject({ position: count.min(1), why: z.string().min(1).max(200) }),
  },
  DayClosed: { version: 1, erasable: [], body: z.strictObject({}) },
} as const
