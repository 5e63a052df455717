import type { RuleName } from '../plan/policy.ts'
import type { Rule } from './condition.ts'
import { ballotsLow } from './rules/ballots.ts'
import { notClosed, returnDifferent, returnOverdue } from './rules/closing.ts'
import { countDoubtful, countMissing, countsApart, notReconciled } from './rules/counts.ts'
import { sealDifferent, tapeRejected } from './rules/custody.ts'
import { accessibleDown, tabulatorDown } from './rules/equipment.ts'
import { helpAsked, keptAside, placeMoved, silent } from './rules/hearing.ts'
import { behindOnOpening } from './rules/late.ts'
import { lineGrowing, longLine } from './rules/lines.ts'
import { notHeard, notOpen, teamShort } from './rules/opening.ts'
import { slotForgotten, slotInUse } from './rules/slot.ts'

/**
 * The rules of a precinct, in the order in which they are asked: a rule that supersedes another stands before
 * it. To add one: its name in log/kindsOfSystem.ts, tier and delay in plan/policy.ts, its function under
 * rules/, its line here, its words in words/, its tests. (`own-link` and
 * `silent-together` are the county's: countyReasons.ts.)
 */
export const precinctRules: Record<Exclude<RuleName, 'own-link' | 'silent-together'>, Rule> = {
  'not-open': notOpen,
  'tape-rejected': tapeRejected,
  'seal-different': sealDifferent,
  'help-asked': helpAsked,
  'place-moved': placeMoved,
  'kept-aside': keptAside,
  'tabulator-down': tabulatorDown,
  'accessible-down': accessibleDown,
  'long-line': longLine,
  'line-growing': lineGrowing,
  'return-overdue': returnOverdue,
  'return-different': returnDifferent,
  'not-heard': notHeard,
  'behind-on-opening': behindOnOpening,
  'team-short': teamShort,
  silent,
  'slot-forgotten': slotForgotten,
  'ballots-low': ballotsLow,
  'not-closed': notClosed,
  'not-reconciled': notReconciled,
  'slot-in-use': slotInUse,
  'count-missing': countMissing,
  'count-doubtful': countDoubtful,
  'counts-apart': countsApart,
}
