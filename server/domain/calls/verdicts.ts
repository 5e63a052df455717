import type { DayState, PrecinctState } from '../day/state.ts'
import type { Forecasts } from '../forecast/forecast.ts'
import type { Draft } from '../log/entry.ts'
import type { PlanIndex } from '../plan/brief.ts'
import type { RuleName } from '../plan/policy.ts'
import { silenceVerdicts } from '../silence/verdicts.ts'
import type { Instant } from '../time.ts'
import { MINUTE, SECOND } from '../time.ts'
import type { Coming } from './atRisk.ts'
import type { Rule, RuleContext } from './condition.ts'
import { reasonKey } from './condition.ts'
import { judgeCounty } from './countyReasons.ts'
import { heldRules, overForGood, supersededBy } from './inhibit.ts'
import { judgeGone, type Memory, NONE, type PendingOf } from './pending.ts'
import { raise } from './raise.ts'
import { precinctRules } from './rules.ts'

/**
 * The system's verdicts: what is to be written into the log about reasons and silence.
 *
 * - Raised when the condition has held for the rule's delay, at the predicted instant `since + delay` (or the end
 *   of a grace), never after now. What stands is never raised again, unless its figures or words changed.
 * - Ended when the condition has been gone for the rule's hold.
 * - Two things the state doesn't know are kept in `Pending`: since when a standing reason has been gone (from the
 *   first asking that found it gone), and since when a condition that is still in its delay has been so (a newer
 *   count that shows the same doesn't start the delay again). After a restart both start anew: a reason may stand
 *   one hold longer or come one delay later, never flap.
 * - Pure: the same state, index, now and pending give the same drafts; applied to the state and asked again at
 *   the same now, they give none.
 */

/** By precinct (empty text: the county). Holds nothing but what is pending, so it can't grow. */
export type Pending = ReadonlyMap<string, PendingOf>

export function nothingPending(): Pending {
  return new Map()
}

const rules = Object.values(precinctRules)
/** Forecasts come once a minute: older ones than this aren't gone by. */
const FORECAST_GOOD_FOR = 5 * MINUTE

/**
 * Drafts for the log, silence first, then the county's reasons, then each precinct's.
 * @param only precincts that changed; absent: all of them, and the county's own reasons
 * @param forecasts the latest; those older than five minutes count as none
 */
export function verdicts(
  state: DayState,
  index: PlanIndex,
  now: Instant,
  pending: Pending,
  only?: Iterable<string>,
  forecasts: Forecasts | null = null,
): { drafts: Draft[]; pending: Pending } {
  if (state.closed) return { drafts: [], pending }
  const drafts = silenceVerdicts(state, index, now, only)
  const memory = new Map(pending)
  const fresh = forecasts && now <= forecasts.at + FORECAST_GOOD_FOR ? forecasts : null
  let linkBroken = state.reasons['own-link'] !== undefined
  if (!only) {
    const comingAt = (code: string) => comingTo(code, index, now, fresh)
    linkBroken = judgeCounty({ state, index, now, comingAt, memory, drafts }) || linkBroken
  }
  for (const code of only ? withTheirLine(only, index) : state.precincts.keys()) {
    const p = state.precincts.get(code)
    const at = index.precincts.get(code)
    if (!p || !at) continue
    judgePrecinct(p, contextOf(p, state, index, at, now, fresh), linkBroken, memory, drafts)
  }
  return { drafts, pending: memory }
}

/** With a precinct the one at which its line is judged. */
function withTheirLine(only: Iterable<string>, index: PlanIndex): Set<string> {
  const codes = new Set(only)
  for (const code of [...codes]) {
    const first = index.precincts.get(code)?.sharesLine?.[0]
    if (first !== undefined) codes.add(first)
  }
  return codes
}

function comingTo(code: string, index: PlanIndex, now: Instant, forecasts: Forecasts | null): Coming | null {
  const at = index.precincts.get(code)
  if (!at) return null
  return { index, now, at, forecast: forecasts?.precincts.get(code) ?? null, forecastAt: forecasts?.at ?? 0 }
}

function contextOf(
  p: PrecinctState,
  state: DayState,
  index: PlanIndex,
  at: RuleContext['at'],
  now: Instant,
  forecasts: Forecasts | null,
): RuleContext {
  const heardAgainAt = p.silentSince !== null ? p.heardAt : p.silences.at(-1)?.to
  const grace = index.plan.policy.heartbeat.graceSeconds * SECOND
  const ctx: RuleContext = {
    now,
    index,
    at,
    graceUntil: state.graceUntil,
    patientUntil: Math.max(state.graceUntil, heardAgainAt ? heardAgainAt + grace : 0),
    stands: false,
    standsOnForecast: false,
    forecast: forecasts?.precincts.get(p.code) ?? null,
    forecastAt: forecasts?.at ?? 0,
  }
  if (at.sharesLine) ctx.together = at.sharesLine.map(code => state.precincts.get(code)!).filter(Boolean)
  return ctx
}

function judgePrecinct(
  p: PrecinctState,
  ctx: RuleContext,
  linkBroken: boolean,
  memory: Memory,
  drafts: Draft[],
): void {
  const held = heldHere(p, ctx, linkBroken)
  const before = memory.get(p.code)
  let delayed: Map<string, Instant> | null = null
  const present = new Set<string>()
  const raised = new Set<RuleName>()
  const anyStands = Object.keys(p.reasons).length > 0
  const judge = (rule: Rule, subject: string) => {
    // Most rules find nothing at most precincts: the key is made only where something hangs on it.
    let key = anyStands ? reasonKey(rule.rule, p.code, subject) : ''
    const standing = anyStands ? p.reasons[key] : undefined
    ctx.stands = standing !== undefined
    ctx.standsOnForecast = ctx.forecast === null && standing?.evidence.forecastAt !== undefined
    const condition = rule.test(p, ctx, subject)
    if (!condition) return
    if (condition === 'held') {
      present.add(key)
      raised.add(rule.rule)
      return
    }
    if (!anyStands) key = reasonKey(rule.rule, p.code, subject)
    present.add(key)
    if (standing) raised.add(rule.rule)
    const since = Math.min(condition.since, before?.delayed.get(key) ?? condition.since)
    const draft = raise(rule.rule, p.code, key, { ...condition, since }, standing, ctx.index, ctx.now)
    if (!draft) {
      if (!standing) {
        delayed ??= new Map()
        delayed.set(key, since)
      }
      return
    }
    raised.add(rule.rule)
    drafts.push(draft)
  }
  for (const rule of rules) {
    const setting = ctx.index.plan.policy.rules[rule.rule]
    if (!setting.enabled || held.has(rule.rule) || isOver(p, rule, ctx)) continue
    const by = supersededBy(rule.rule)
    if (by && raised.has(by)) continue
    if (rule.subjects) for (const subject of rule.subjects(p)) judge(rule, subject)
    else judge(rule, '')
  }
  const gone = goneOf(p, present, held, before, ctx, drafts)
  if (gone || delayed) memory.set(p.code, { gone: gone ?? NONE, delayed: delayed ?? NONE })
  else if (before) memory.delete(p.code)
}

/** Since when each reason that stands and is no longer so has been gone; null: none. */
function goneOf(
  p: PrecinctState,
  present: ReadonlySet<string>,
  held: ReadonlySet<RuleName>,
  before: PendingOf | undefined,
  { index, now }: RuleContext,
  drafts: Draft[],
): Map<string, Instant> | null {
  let gone: Map<string, Instant> | null = null
  for (const key in p.reasons) {
    const reason = p.reasons[key]!
    if (present.has(key) || held.has(reason.rule)) continue
    gone ??= new Map()
    gone.set(key, judgeGone(reason, before?.gone.get(key), index, now, drafts))
  }
  return gone
}

/** What is held here; the line of several precincts only where none of them is heard. */
function heldHere(p: PrecinctState, ctx: RuleContext, linkBroken: boolean): ReadonlySet<RuleName> {
  const heldAt = (q: PrecinctState) => heldRules(q, ctx.index, ctx.graceUntil, ctx.now, linkBroken)
  const held = heldAt(p)
  if (ctx.together?.[0] !== p || held.size === 0) return held
  const here = new Set(held)
  for (const { rule, ofLine } of rules)
    if (ofLine && !ctx.together.every(q => heldAt(q).has(rule))) here.delete(rule)
  return here
}

function isOver(p: PrecinctState, { rule, ofLine }: Rule, { together }: RuleContext): boolean {
  if (!ofLine || !together) return overForGood(p, rule)
  return together[0] !== p || together.every(q => overForGood(q, rule))
}
