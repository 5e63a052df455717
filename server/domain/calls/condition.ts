import type { PrecinctState } from '../day/state.ts'
import type { PrecinctForecast } from '../forecast/forecast.ts'
import type { PlanIndex, PlannedIn } from '../plan/brief.ts'
import type { RuleName } from '../plan/policy.ts'
import type { Instant } from '../time.ts'
import type { Risk } from './atRisk.ts'

/** What a rule found to be so. */
export type Condition = {
  /**
   * Instant at which it began to be so, from facts and thresholds; never from when anybody noticed. Of what a
   * forecast says, the instant that the forecast is of.
   */
  since: Instant
  /** It may not be said before this instant (the grace after an outage of our own); absent: no such bar. */
  notBefore?: Instant
  /** Extra waiting within the horizon if nothing is done; null: nobody waits for it. */
  risk: Risk | null
  /**
   * Figures for the words. Names that end in `At` or are `since` are instants. `forecastAt`: the figures are those
   * of a forecast, of that instant. What the risk is made of is added where it is raised.
   */
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
  /** This reason stands on a forecast, and there is none now: it can be held, not judged. */
  standsOnForecast: boolean
  /** Precincts that stand in one line with this one, itself among them, in the plan's order; absent: a line of its own. */
  together?: readonly PrecinctState[]
  /** Null: none was made, or it is too old to go by. */
  forecast: PrecinctForecast | null
  /** The instant that it is of; 0 where there is none. */
  forecastAt: Instant
}

/** `held`: nothing is known to have changed, so what stands is neither ended nor written anew. */
type Found = Condition | 'held' | null

export type Rule = {
  rule: RuleName
  /** What of a precinct the rule looks at one by one (tabulators, containers); absent: the precinct. */
  subjects?: (p: PrecinctState) => readonly string[]
  /** Where precincts share one line it is judged once, at the first of them, and held or over only for all. */
  ofLine?: true
  test: (p: PrecinctState, ctx: RuleContext, subject: string) => Found
}

/** `rule:precinct` or `rule:precinct:subject`; of the county `rule` or `rule:subject`. */
export function reasonKey(rule: RuleName, precinct: string | null, subject?: string): string {
  const of = precinct === null ? rule : `${rule}:${precinct}`
  return subject ? `${of}:${subject}` : of
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

/** A chance as whole percent, for the evidence: 0 is under a half, 100 over 99 and a half. Words say it by chanceWords. */
export function percent(chance: number): number {
  return Math.min(100, Math.max(0, Math.round(chance * 100)))
}
