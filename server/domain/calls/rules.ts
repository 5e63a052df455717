import type { RuleName } from '../plan/policy.ts'
import type { Rule } from './condition.ts'
import { notClosed, returnDifferent, returnOverdue } from './rules/closing.ts'
import { sealDifferent, tapeRejected } from './rules/custody.ts'
import { accessibleDown, tabulatorDown } from './rules/equipment.ts'
import { helpAsked, silent } from './rules/hearing.ts'
import { behindOnOpening, notHeard, notOpen, teamShort } from './rules/opening.ts'
import { slotForgotten, slotInUse } from './rules/slot.ts'
import { ballotsLow, countMissing, longLine } from './rules/voting.ts'

/**
 * The rules of a precinct, in the order in which they are asked: a rule that supersedes another stands before
 * it. To add one: its name in log/kindsOfSystem.ts, tier and delay in plan/policy.ts, its function under
 * rules/, its line here, its words in words/, its tests. (`own-link` is the county's: silence/ownLink.ts.)
 */
export const precinctRules: Record<Exclude<RuleName, 'own-link'>, Rule> = {
  'not-open': notOpen,
  'tape-rejected': tapeRejected,
  'seal-different': sealDifferent,
  'help-asked': helpAsked,
  'tabulator-down': tabulatorDown,
  'accessible-down': accessibleDown,
  'long-line': longLine,
  'return-overdue': returnOverdue,
  'return-different': returnDifferent,
  'not-heard': notHeard,
  'behind-on-opening': behindOnOpening,
  'team-short': teamShort,
  silent,
  'slot-forgotten': slotForgotten,
  'ballots-low': ballotsLow,
  'not-closed': notClosed,
  'slot-in-use': slotInUse,
  'count-missing': countMissing,
}
