import type { CallLine } from '../day/row.ts'
import type { Reason, Standing } from '../day/state.ts'
import type { PlanBrief } from '../plan/brief.ts'
import type { RuleName } from '../plan/policy.ts'
import type { Instant } from '../time.ts'
import * as ahead from './words/ahead.ts'
import { arithmetic } from './words/arithmetic.ts'
import * as counts from './words/counts.ts'
import * as hearing from './words/hearing.ts'
import * as opening from './words/opening.ts'
import * as running from './words/running.ts'
import { listed, saying, type Words, type WordsOf } from './words/say.ts'

/**
 * Plain words for reasons, made from the evidence that stands in the log: server, browser and paper say the same.
 * Sunup shows what was reported; what to do about it is for the county's procedures and counsel.
 */

const wordsOf: Record<RuleName, WordsOf> = {
  'not-heard': opening.notHeard,
  'team-short': opening.teamShort,
  'behind-on-opening': opening.behindOnOpening,
  'not-open': opening.notOpen,
  'tape-rejected': opening.tapeRejected,
  'seal-different': opening.sealDifferent,
  'tabulator-down': running.tabulatorDown,
  'accessible-down': running.accessibleDown,
  'slot-in-use': running.slotInUse,
  'slot-forgotten': running.slotForgotten,
  'count-missing': counts.countMissing,
  'count-doubtful': counts.countDoubtful,
  'counts-apart': counts.countsApart,
  'not-reconciled': counts.notReconciled,
  'long-line': running.longLine,
  'line-growing': ahead.lineGrowing,
  'ballots-low': ahead.ballotsLow,
  silent: hearing.silent,
  'help-asked': hearing.helpAsked,
  'place-moved': hearing.placeMoved,
  'kept-aside': hearing.keptAside,
  'not-closed': running.notClosed,
  'return-overdue': running.returnOverdue,
  'return-different': running.returnDifferent,
  'own-link': hearing.ownLink,
  'silent-together': hearing.silentTogether,
}

/** What a rule is called on screens. */
export const ruleTitle: Readonly<Record<RuleName, string>> = {
  'not-heard': 'Not heard yet',
  'team-short': 'Team too small',
  'behind-on-opening': 'Opening runs late',
  'not-open': 'Polls not open',
  'tape-rejected': 'Opening tape wrong',
  'seal-different': 'Seal differs',
  'tabulator-down': 'Tabulator down',
  'accessible-down': 'Accessible station down',
  'slot-in-use': 'Slot in use',
  'slot-forgotten': 'Slot left open',
  'count-missing': 'No fresh count',
  'count-doubtful': 'Count in doubt',
  'counts-apart': 'Counts apart',
  'not-reconciled': 'Not reconciled',
  'long-line': 'Line too long',
  'line-growing': 'Line grows',
  'ballots-low': 'Ballots run low',
  silent: 'Silent',
  'help-asked': 'Help asked for',
  'place-moved': 'Place moved',
  'kept-aside': 'Kept aside',
  'not-closed': 'Not closed',
  'return-overdue': 'Return overdue',
  'return-different': 'Return differs',
  'own-link': 'Our own link',
  'silent-together': 'Silent together',
}

/** What a standing is called on screens. */
export const standingWords: Readonly<Record<Standing, string>> = {
  'not-heard': 'not heard',
  'setting-up': 'setting up',
  ready: 'ready',
  open: 'open',
  closing: 'closing',
  closed: 'closed',
  returning: 'returning',
  received: 'received',
}

/** How many precincts a line names before it only counts them. */
const MOST_NAMES = 6

/**
 * The words of one reason. Times are HH:MM of the county's clock.
 * @param brief the plan as boards have it: names, labels, time zone
 * @param now adds how long ago; absent: only the time
 */
export function reasonWords(reason: Reason, brief: PlanBrief, now?: Instant): Words {
  return { ...wordsOf[reason.rule](saying(reason, brief, now)), risk: arithmetic(reason, brief) }
}

/**
 * The words of a line of the call list: its gravest reason speaks first, the others add their facts and
 * questions, each said once. A cause that several precincts share names them.
 */
export function lineWords(
  line: Pick<CallLine, 'precincts' | 'reasons'>,
  brief: PlanBrief,
  now?: Instant,
): Words {
  const reasons = spoken(line.reasons)
  const each = reasons.map(reason => reasonWords(reason, brief, now))
  const ofCounty = reasons[0]?.precinct === null
  const shared = line.precincts.length > 1 && !ofCounty ? `${placesOf(line.precincts, brief)}: ` : ''
  const heads = distinct(each.map(w => w.headline))
  const one = shared !== '' && heads.length === 1
  return {
    headline: heads[0] ?? '',
    fact: one
      ? `${shared}${heads[0]!.toLowerCase()}. One cause is likely: look for what they share before calling each.`
      : shared + distinct(each.map((w, i) => (i === 0 ? w.fact : `${w.headline}: ${w.fact}`))).join(' '),
    ask: distinct(each.map(w => w.ask)).join(' '),
    ends: distinct(each.map(w => w.ends)).join(' '),
    risk: riskOf(line, brief),
  }
}

/** Where a shared cause of silence is told, it speaks first, and the silence of each needs no more words. */
function spoken(reasons: readonly Reason[]): readonly Reason[] {
  const causes = reasons.filter(r => r.rule === 'silent-together')
  if (causes.length === 0) return reasons
  return [...causes, ...reasons.filter(r => r.rule !== 'silent-together' && r.rule !== 'silent')]
}

/** A line has the largest voter-minutes of a precinct's reasons, summed over its precincts. */
function riskOf({ precincts, reasons }: Pick<CallLine, 'precincts' | 'reasons'>, brief: PlanBrief): string {
  let largest: Reason | undefined
  for (const r of reasons) if (!largest || r.voterMinutes > largest.voterMinutes) largest = r
  if (!largest || largest.voterMinutes === 0) return ''
  if (precincts.length > 1 && largest.rule !== 'own-link')
    return `Summed over these ${precincts.length} precincts, of each its largest.`
  return arithmetic(largest, brief)
}

function placesOf(codes: readonly string[], brief: PlanBrief): string {
  const wanted = new Set(codes)
  const names = brief.precincts.filter(p => wanted.has(p.code)).map(p => p.name)
  if (names.length <= MOST_NAMES) return listed(names)
  return `${names.slice(0, MOST_NAMES).join(', ')} and ${names.length - MOST_NAMES} more`
}

function distinct(words: readonly string[]): string[] {
  return [...new Set(words)]
}
