import type { Plan } from '../../server/domain/plan/plan.ts'
import type { RuleName } from '../../server/domain/plan/policy.ts'
import { hhmmOf, instantOf } from '../../server/domain/plan/zone.ts'
import { type Instant, MINUTE, SECOND } from '../../server/domain/time.ts'

/**
 * What goes wrong on Ellery's practice day, by local time. The script plays it; the tests ask that the rule
 * named here shows it. A precinct that a plan doesn't have is left out, so any plan can be played.
 */
export const story = {
  lateTeam: { precinct: 'quarry-lane', arrives: '05:50', complete: '06:06', opens: '06:41' },
  flapShut: {
    precinct: 'ashgrove-mill',
    down: '06:34',
    slot: '06:35',
    back: '06:47',
    locked: '06:49',
    fed: '06:58',
  },
  tapeRejected: { precinct: 'gull-point', rejected: '06:02', slot: '06:50', opens: '06:52' },
  sealDiffers: { precinct: 'miller-pond', container: 'ballot-box', found: '05:34', readAgain: '06:04' },
  tabulatorDown: {
    precinct: 'old-ferry-road',
    down: '09:12',
    slot: '09:13',
    back: '10:05',
    locked: '10:07',
    fed: '10:20',
  },
  tabletDies: { precinct: 'saltmarsh-school', at: '09:24' },
  networkGap: { area: 'Inland', precincts: 12, from: '10:30', to: '10:50' },
  longLine: { precinct: 'harbor-hall', pollbookDown: '07:20', pollbookBack: '09:55', longBy: '08:45' },
  ballotsLow: {
    precinct: 'north-light',
    turnout: 1.45,
    lowBy: '08:30',
    asks: '13:05',
    howMany: 400,
    delivered: '14:20',
  },
  slotLeftOpen: {
    precinct: 'tern-island',
    down: '08:05',
    slot: '08:06',
    back: '08:40',
    locked: '10:15',
    fed: '10:30',
  },
  asksForHelp: { precinct: 'windmill-rise', at: '11:20' },
  accessibleDown: { precinct: 'larkfield', down: '12:40', back: '14:10' },
  noCounts: { precinct: 'cormorant-rock', last: '07:15', next: '12:10' },
  notClosed: { precinct: 'puffin-head', closes: '20:40' },
  returnLost: { precinct: 'ebb-island', departs: '20:35' },
} as const

export type Planted = {
  name: keyof typeof story
  precinct: string
  rule: RuleName
  /** The condition holds from here at the latest: the reason is due by then plus the rule's delay. */
  from: Instant
  /** The precinct itself says that it is over; null: it never does. */
  until: Instant | null
}

/** Local times of a plan's day as instants. */
export const clockOf = (plan: Plan) => (hhmm: string) => instantOf(plan.date, hhmm, plan.timeZone)

/** Precincts that the network gap cuts off: the first of its area in the plan's order. */
export function cutOff(plan: Plan): string[] {
  const area = new Set(plan.places.filter(p => p.area === story.networkGap.area).map(p => p.code))
  return plan.precincts
    .filter(p => area.has(p.place))
    .slice(0, story.networkGap.precincts)
    .map(p => p.code)
}

/** Every planted trouble with the rule that must show it. Thresholds are taken from the plan's policy. */
export function plantedTroubles(plan: Plan): Planted[] {
  const at = clockOf(plan)
  const { policy, hours } = plan
  const later = (hhmm: string, minutes: number) => at(hhmm) + minutes * MINUTE
  const silent = policy.heartbeat.silentAfterSeconds * SECOND
  const s = story
  const one = (name: Planted['name'], rule: RuleName, from: Instant, until: string | null): Planted => {
    const of = s[name]
    return {
      name,
      precinct: 'precinct' in of ? of.precinct : '',
      rule,
      from,
      until: until === null ? null : at(until),
    }
  }
  const all: Planted[] = [
    one('lateTeam', 'not-heard', later(hours.report, policy.notHeardAfterMinutes), s.lateTeam.arrives),
    one('lateTeam', 'team-short', at(s.lateTeam.arrives), s.lateTeam.complete),
    one('lateTeam', 'behind-on-opening', at(s.lateTeam.arrives), s.lateTeam.opens),
    one('lateTeam', 'not-open', at(hours.open), s.lateTeam.opens),
    one('flapShut', 'tabulator-down', at(s.flapShut.down), s.flapShut.back),
    one('tapeRejected', 'tape-rejected', at(s.tapeRejected.rejected), null),
    one('tapeRejected', 'not-open', at(hours.open), s.tapeRejected.opens),
    one('sealDiffers', 'seal-different', at(s.sealDiffers.found), s.sealDiffers.readAgain),
    one('tabulatorDown', 'tabulator-down', at(s.tabulatorDown.down), s.tabulatorDown.back),
    one('tabletDies', 'silent', at(s.tabletDies.at) + silent, null),
    ...cutOff(plan).map(precinct => ({
      ...one('networkGap', 'silent', at(s.networkGap.from) + silent, s.networkGap.to),
      precinct,
    })),
    one('longLine', 'long-line', at(s.longLine.longBy), null),
    one('ballotsLow', 'ballots-low', at(s.ballotsLow.lowBy), null),
    one('ballotsLow', 'help-asked', at(s.ballotsLow.asks), null),
    one('slotLeftOpen', 'tabulator-down', at(s.slotLeftOpen.down), s.slotLeftOpen.back),
    one(
      'slotLeftOpen',
      'slot-forgotten',
      later(s.slotLeftOpen.back, policy.slotForgottenMinutes),
      s.slotLeftOpen.locked,
    ),
    one('asksForHelp', 'help-asked', at(s.asksForHelp.at), null),
    one('accessibleDown', 'accessible-down', at(s.accessibleDown.down), s.accessibleDown.back),
    one('noCounts', 'count-missing', later(s.noCounts.last, policy.countEveryMinutes), s.noCounts.next),
    one('notClosed', 'not-closed', later(hours.close, policy.notClosedAfterMinutes), s.notClosed.closes),
    one('returnLost', 'return-overdue', later(s.returnLost.departs, policy.returnOverdueMinutes), null),
  ]
  const known = new Set(plan.precincts.map(p => p.code))
  return all.filter(t => known.has(t.precinct))
}

/** `name rule precinct from HH:MM`, for messages of tests and people. */
export function troubleLine(t: Planted, plan: Plan): string {
  return `${t.name}: ${t.rule} at ${t.precinct} from ${hhmmOf(t.from, plan.timeZone)}`
}
