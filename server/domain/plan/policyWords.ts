import type { Policy, RuleName } from './policy.ts'

/**
 * Every threshold of the policy explained, for who sets it. README's table says the same (kept by a test).
 * `source`: `assumption` where the standard value is ours, else the published source it is from.
 */

type Thresholds = Omit<Policy, 'rules'>
/** Dotted path of a threshold: `longLineMinutes`, `heartbeat.periodSeconds`. */
export type ThresholdPath = {
  [K in keyof Thresholds & string]: Thresholds[K] extends number | boolean
    ? K
    : `${K}.${keyof Thresholds[K] & string}`
}[keyof Thresholds & string]

type ThresholdUnit =
  | 'seconds'
  | 'minutes'
  | 'minutes a voter'
  | 'km an hour'
  | 'share'
  | 'times'
  | 'count'
  | 'yes or no'
type ThresholdWords = { unit: ThresholdUnit; words: string; source: string }

const ours = (unit: ThresholdUnit, words: string): ThresholdWords => ({ unit, words, source: 'assumption' })

export const thresholdWords: Readonly<Record<ThresholdPath, ThresholdWords>> = {
  'heartbeat.periodSeconds': ours('seconds', 'how often a device speaks when it has nothing new'),
  'heartbeat.lateAfterSeconds': ours('seconds', 'a device not heard for so long is late'),
  'heartbeat.silentAfterSeconds': ours('seconds', 'a precinct not heard for so long is silent'),
  'heartbeat.graceSeconds': ours('seconds', 'after an outage of our own, deadlines restart with this'),
  'heartbeat.ownLinkShare': ours(
    'share',
    'so large a part of the precincts silent at once is first of all our own link',
  ),
  notHeardAfterMinutes: ours('minutes', 'so long after reporting time a precinct never heard is called'),
  behindOpeningMinutes: ours(
    'minutes',
    'so far behind the usual times the opening is late, where nothing is forecast',
  ),
  behindOpeningEndMinutes: ours('minutes', 'less far behind than this it no longer is late'),
  countEveryMinutes: ours('minutes', 'an older count is missing'),
  longLineMinutes: {
    unit: 'minutes',
    words: 'a longer wait is a long line',
    source: 'Presidential Commission on Election Administration, 2014',
  },
  longLineEndMinutes: ours('minutes', 'with a shorter wait than this a long line has ended'),
  checkInMinutes: ours('minutes a voter', 'what one check-in station takes for a voter'),
  slotForgottenMinutes: ours(
    'minutes',
    'so long open after the tabulator works, the emergency slot is forgotten',
  ),
  markMinutes: ours('minutes a voter', 'what marking a ballot takes'),
  tabulateSeconds: ours('seconds', 'what a sheet takes at the tabulator'),
  'unknown.turnout': ours(
    'share',
    'how far the county’s turnout may lie from the plan’s (coefficient of variation)',
  ),
  'unknown.precinct': ours('share', 'how far one precinct’s may lie from the county’s'),
  'unknown.profile': ours('share', 'how far one hour’s share of the voters may lie from the profile’s'),
  lateOpeningChance: ours('share', 'so likely not ready by the legal hour, an opening is called late'),
  lateOpeningEndChance: ours('share', 'less likely than this it no longer is'),
  lineGrowingChance: ours('share', 'so likely a long wait within two hours, a line is called growing'),
  lineGrowingEndChance: ours('share', 'less likely than this it no longer is'),
  ballotsMargin: ours('times', 'ballots needed for each voter still expected, since some are spoiled'),
  ballotsChance: ours('share', 'so likely to run out, ballots are low'),
  ballotsEndChance: ours('share', 'less likely than this they no longer are'),
  countTolerance: ours('count', 'so many ballots or voters may be missing or too many without a word'),
  notClosedAfterMinutes: ours('minutes', 'so long after closing time a precinct that isn’t closed is called'),
  returnOverdueMinutes: ours(
    'minutes',
    'so long after it left a return is overdue; one that has not left is overdue at `returnBy`',
  ),
  'travel.kmPerHour': ours('km an hour', 'mean road speed, for the estimate of a trip'),
  'travel.detour': ours('times', 'road to straight line, for the same'),
  horizonMinutes: ours('minutes', 'voter-minutes at risk look so far ahead'),
  stepBackMinutes: ours('minutes', 'a line that was dealt with comes back after this, if it is still so'),
  'precinctPage.sound': ours('yes or no', 'the precinct’s page may make a sound when something is due'),
  'precinctPage.phonesInRoom': ours('yes or no', 'phones may be used in the voting room'),
  'precinctPage.twoParties': ours('yes or no', 'two people confirm that they are of different parties'),
  'precinctPage.carrierNames': ours('yes or no', 'the names of those who carry the return are asked for'),
  'precinctPage.openWithSlot': ours(
    'yes or no',
    'where no tabulator is fit at the legal hour, voting begins with the emergency slot',
  ),
  'precinctPage.slotReminderMinutes': ours('minutes', 'so often the page reminds of ballots in the slot'),
}

/** When each reason is raised, in one line. */
export const ruleWords: Readonly<Record<RuleName, string>> = {
  'not-heard': 'never heard since reporting time',
  'team-short': 'workers are missing',
  'behind-on-opening': 'probably not ready by the legal hour',
  'not-open': 'not open at the legal hour',
  'tape-rejected': 'opening tape rejected',
  'seal-different':
    'a seal has another number, is broken or missing, or a box that was opened isn’t sealed again',
  'tabulator-down': 'a tabulator is down',
  'accessible-down': 'the accessible station is down',
  'slot-in-use': 'ballots go into the emergency slot',
  'slot-forgotten': 'the slot is open though the tabulator works',
  'count-missing': 'no count for too long',
  'long-line': 'the wait is too long',
  'ballots-low': 'ballots will not last',
  silent: 'not heard',
  'help-asked': 'the precinct asked for help',
  'place-moved': 'the precinct must leave its building',
  'kept-aside': 'reports of a replaced or copied tablet wait for the desk’s answer',
  'not-closed': 'not closed',
  'return-overdue': 'the return has not arrived',
  'return-different': 'a checked-in return holds other items or seals than were sent',
  'own-link': 'nearly all silent: our own link',
  'line-growing': 'a long wait is likely within two hours',
  'count-doubtful': 'a count can’t be true beside the others',
  'counts-apart': 'ballots or voters don’t add up',
  'not-reconciled': 'closed with a difference that nobody explained',
  'silent-together': 'many silent at once in one area or of one kind',
}
