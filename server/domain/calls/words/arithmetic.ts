import type { Reason } from '../../day/state.ts'
import type { PlanBrief } from '../../plan/brief.ts'
import type { RuleName } from '../../plan/policy.ts'
import { grouped, plural, saying } from './say.ts'

/** Reasons whose minutes a voter are an assumption of ours (calls/atRisk.ts). */
const ASSUMED_EACH: ReadonlySet<RuleName> = new Set([
  'tape-rejected',
  'slot-in-use',
  'silent',
  'help-asked',
  'place-moved',
  'silent-together',
  'own-link',
])
/** Reasons that also concern those who stand in line already. */
const IN_LINE: ReadonlySet<RuleName> = new Set(['long-line', 'line-growing'])

/**
 * What a reason's voter-minutes are made of: "41 people expected 06:30–06:52, on average 11 minutes: 451
 * voter-minutes."; '' where nothing is at risk. Each factor is rounded by itself.
 */
export function arithmetic(reason: Reason, brief: PlanBrief): string {
  const say = saying(reason, brief)
  const people = say.number('riskPeople')
  const each = say.number('riskEach')
  if (people === null || each === null) return ''
  const who = people === 1 ? '1 person' : `${grouped(people)} people`
  const share = reason.rule === 'accessible-down' ? ' (an assumed 1 in 50)' : ''
  const when = `${say.time('riskFromAt')}–${say.time('riskUntilAt')}`
  const minutes = plural(each, 'minute')
  const chance = isTimesChance(reason) ? ', the chance of running out counted in' : ''
  return `${who} ${IN_LINE.has(reason.rule) ? 'in line or expected' : 'expected'} ${when}${share}, ${
    isAssumed(reason) ? `an assumed ${minutes} each` : `on average ${minutes}${chance}`
  }: ${grouped(reason.voterMinutes)} voter-minute${reason.voterMinutes === 1 ? '' : 's'}.`
}

/** What a forecast says of ballots is what running out would cost, times its chance (ballots/forecast.ts). */
function isTimesChance({ rule, evidence }: Reason): boolean {
  return rule === 'ballots-low' && evidence.forecastAt !== undefined
}

/** A tabulator that is down costs an assumed little only where ballots still go somewhere. */
function isAssumed({ rule, evidence }: Reason): boolean {
  if (rule === 'tabulator-down') return evidence.slotOpen === true || evidence.another === true
  return ASSUMED_EACH.has(rule)
}
