import type { PrecinctState } from '../day/state.ts'
import type { PlanIndex, PlannedIn } from '../plan/brief.ts'
import type { RuleName } from '../plan/policy.ts'
import type { Instant } from '../time.ts'

/** What a rule found to be so. */
export type Condition = {
  /** Instant at which it began to be so, from facts and thresholds; never from when anybody noticed. */
  since: Instant
  /** It may not be said before this instant (the grace after an outage of our own); absent: no such bar. */
  notBefore?: Instant
  /** Expected extra minutes of waiting summed over voters within the horizon; finite, ≥ 0, not rounded. */
  voterMinutes: number
  /** Figures for the words. Names that end in `At` or are `since` are instants. */
  evidence: Record<string, number | string | boolean | string[]>
}

/** What a rule is told besides the precinct's state. */
export type RuleContext = {
  now: Instant
  index: PlanIndex
  at: PlannedIn
  /** End of the grace after an outage of our own; 0: none. */
  graceUntil: Instant
  /**
   * What is missing may still be in an outbox until then: the grace after an outage of our own, or after the
   * precinct was heard again.
   */
  patientUntil: Instant
  /** Whether this reason stands now: rules with two thresholds go by it, and a new grace doesn't end what stands. */
  stands: boolean
  /** Precincts that stand in one line with this one, itself among them, in the plan's order; absent: a line of its own. */
  together?: readonly PrecinctState[]
}

export type Rule = {
  rule: RuleName
  /** What of a precinct the rule looks at one by one (tabulators, containers); absent: the precinct. */
  subjects?: (p: PrecinctState) => readonly string[]
  /** Where precincts share one line it is judged once, at the first of them, and held or over only for all. */
  ofLine?: true
  test: (p: PrecinctState, ctx: RuleContext, subject: string) => Condition | null
}

/** `rule:precinct` or `rule:precinct:subject`; the county's own reason is its rule's name alone. */
export function reasonKey(rule: RuleName, precinct: string | null, subject?: string): string {
  if (precinct === null) return rule
  return subject ? `${rule}:${precinct}:${subject}` : `${rule}:${precinct}`
}

/**
 * The deadline of a rule that stands on hearing nothing: it restarts with a grace after an outage of our own,
 * and after a precinct was heard again.
 * @returns the bar for Condition.notBefore, or null while nothing may be said
 */
export function absence(deadline: Instant, ctx: RuleContext): { notBefore: Instant } | null {
  if (ctx.stands) return ctx.now >= deadline ? { notBefore: deadline } : null
  const notBefore = Math.max(deadline, ctx.patientUntil)
  return ctx.now >= notBefore ? { notBefore } : null
}
