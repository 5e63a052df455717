import type { DayState, PrecinctState, Reason } from '../day/state.ts'
import type { Draft } from '../log/entry.ts'
import { kinds } from '../log/kinds.ts'
import type { PlanIndex } from '../plan/brief.ts'
import type { RuleName } from '../plan/policy.ts'
import { ownLink } from '../silence/ownLink.ts'
import { silenceVerdicts } from '../silence/verdicts.ts'
import type { Instant } from '../time.ts'
import { MINUTE, SECOND, toRfc3339 } from '../time.ts'
import { ASSUMED, comingToAll } from './atRisk.ts'
import type { Condition, Rule, RuleContext } from './condition.ts'
import { reasonKey } from './condition.ts'
import { heldRules, overForGood, supersededBy } from './inhibit.ts'
import { precinctRules } from './rules.ts'

/**
 * The system's verdicts: what is to be written into the log about reasons and silence.
 *
 * - Raised when the condition has held for the rule's delay, at the predicted instant `since + delay` (or the end
 *   of a grace), never after now. What stands is never raised again, unless its figures or words changed.
 * - Ended when the condition has been gone for the rule's hold. Since when it has been gone is the one thing the
 *   log doesn't know: it is kept in `Pending`, from the first asking that found it gone. After a restart the hold
 *   starts again, so a reason may stand one hold longer, never shorter.
 * - Pure: the same state, index, now and pending give the same drafts; applied to the state and asked again at
 *   the same now, they give none.
 */

/** Since when standing reasons have been gone: by precinct (empty text: the county), by key. Holds only those. */
export type Pending = ReadonlyMap<string, ReadonlyMap<string, Instant>>

export function nothingPending(): Pending {
  return new Map()
}

/** Figures are written again when they changed by more than half and by at least this many voter-minutes … */
const MATERIAL_VOTER_MINUTES = 60
/** … and no sooner than this after they were last written. */
const FIGURES_AFTER = 5 * MINUTE
/** What the words say (slot open, which step, what about) is written again no sooner than this. */
const WORDS_AFTER = MINUTE

const COUNTY = ''
const rules = Object.values(precinctRules)

/**
 * Drafts for the log, silence first, then our own link, then each precinct's reasons.
 * @param only precincts that changed; absent: all of them, and the county's own reason
 */
export function verdicts(
  state: DayState,
  index: PlanIndex,
  now: Instant,
  pending: Pending,
  only?: Iterable<string>,
): { drafts: Draft[]; pending: Pending } {
  if (state.closed) return { drafts: [], pending }
  const drafts = silenceVerdicts(state, index, now, only)
  const gone = new Map(pending)
  let linkBroken = state.reasons['own-link'] !== undefined
  if (!only) linkBroken = judgeLink(state, index, now, gone, drafts) || linkBroken
  for (const code of only ?? state.precincts.keys()) {
    const p = state.precincts.get(code)
    const at = index.precincts.get(code)
    if (!p || !at) continue
    judgePrecinct(p, contextOf(p, state, index, at, now), linkBroken, gone, drafts)
  }
  return { drafts, pending: gone }
}

function contextOf(
  p: PrecinctState,
  state: DayState,
  index: PlanIndex,
  at: RuleContext['at'],
  now: Instant,
): RuleContext {
  const heardAgainAt = p.silentSince !== null ? p.heardAt : p.silences.at(-1)?.to
  const grace = index.plan.policy.heartbeat.graceSeconds * SECOND
  const patientUntil = Math.max(state.graceUntil, heardAgainAt ? heardAgainAt + grace : 0)
  return { now, index, at, graceUntil: state.graceUntil, patientUntil, stands: false }
}

function judgePrecinct(
  p: PrecinctState,
  ctx: RuleContext,
  linkBroken: boolean,
  gone: Map<string, ReadonlyMap<string, Instant>>,
  drafts: Draft[],
): void {
  const held = heldRules(p, ctx.index, ctx.graceUntil, ctx.now, linkBroken)
  const before = gone.get(p.code)
  const present = new Set<string>()
  const raised = new Set<RuleName>()
  const judge = (rule: Rule, subject: string) => {
    const key = reasonKey(rule.rule, p.code, subject)
    const standing = p.reasons[key]
    ctx.stands = standing !== undefined
    const condition = rule.test(p, ctx, subject)
    if (!condition) return
    present.add(key)
    if (standing) raised.add(rule.rule)
    const draft = raise(rule.rule, p.code, key, condition, standing, ctx.index, ctx.now)
    if (!draft) return
    raised.add(rule.rule)
    drafts.push(draft)
  }
  for (const rule of rules) {
    const setting = ctx.index.plan.policy.rules[rule.rule]
    if (!setting.enabled || held.has(rule.rule) || overForGood(p, rule.rule)) continue
    const by = supersededBy(rule.rule)
    if (by && raised.has(by)) continue
    if (rule.subjects) for (const subject of rule.subjects(p)) judge(rule, subject)
    else judge(rule, '')
  }
  let goneNow: Map<string, Instant> | null = null
  for (const key in p.reasons) {
    const reason = p.reasons[key]!
    if (present.has(key) || held.has(reason.rule)) continue
    goneNow ??= new Map()
    goneNow.set(key, judgeGone(reason, before?.get(key), ctx.index, ctx.now, drafts))
  }
  if (goneNow) gone.set(p.code, goneNow)
  else if (before) gone.delete(p.code)
}

/** The county's own reason. Returns whether the link is to be taken as broken. */
function judgeLink(
  state: DayState,
  index: PlanIndex,
  now: Instant,
  gone: Map<string, ReadonlyMap<string, Instant>>,
  drafts: Draft[],
): boolean {
  const standing = state.reasons['own-link']
  if (!standing && !index.plan.policy.rules['own-link'].enabled) return false
  const link = ownLink(state, index, now)
  const broken = index.plan.policy.rules['own-link'].enabled && (standing ? link.stillBroken : link.broken)
  if (broken) {
    gone.delete(COUNTY)
    const condition: Condition = {
      since: link.since ?? standing?.since ?? now,
      voterMinutes: (comingToAll(index, now) * link.missing * ASSUMED.unseenMinutes) / link.of,
      evidence: { missing: link.missing, of: link.of },
    }
    const draft = raise('own-link', null, 'own-link', condition, standing, index, now)
    if (draft) drafts.push(draft)
  } else if (standing) {
    const since = gone.get(COUNTY)?.get('own-link')
    gone.set(COUNTY, new Map([['own-link', judgeGone(standing, since, index, now, drafts)]]))
  }
  return broken
}

/** Since when a standing reason has been gone; its end is drafted once the hold is over. */
function judgeGone(
  reason: Reason,
  goneSince: Instant | undefined,
  index: PlanIndex,
  now: Instant,
  drafts: Draft[],
): Instant {
  // A memory older than the reason itself is of an earlier one with the same key.
  const since = goneSince === undefined || goneSince < reason.raisedAt ? now : goneSince
  const endsAt = since + index.plan.policy.rules[reason.rule].holdMinutes * MINUTE
  if (endsAt <= now)
    drafts.push({
      kind: 'ReasonEnded',
      version: kinds.ReasonEnded.version,
      precinct: reason.precinct,
      source: 'system',
      number: null,
      occurredAt: endsAt,
      origin: { via: 'system' },
      body: { key: reason.key, rule: reason.rule },
    })
  return since
}

/** The entry that raises a reason, or writes a standing one anew; null where there is nothing to say (yet). */
function raise(
  rule: RuleName,
  precinct: string | null,
  key: string,
  condition: Condition,
  standing: Reason | undefined,
  index: PlanIndex,
  now: Instant,
): Draft | null {
  const { tier, delayMinutes } = index.plan.policy.rules[rule]
  const voterMinutes = Number.isFinite(condition.voterMinutes)
    ? Math.max(0, Math.round(condition.voterMinutes))
    : Number.MAX_SAFE_INTEGER
  let occurredAt = now
  if (!standing) {
    occurredAt = Math.max(condition.since + delayMinutes * MINUTE, condition.notBefore ?? 0)
    if (occurredAt > now) return null
  } else if (!changed(standing, tier, voterMinutes, condition.evidence, now)) return null
  return {
    kind: 'ReasonRaised',
    version: kinds.ReasonRaised.version,
    precinct,
    source: 'system',
    number: null,
    occurredAt: Math.floor(occurredAt),
    origin: { via: 'system' },
    body: {
      key,
      rule,
      tier,
      since: toRfc3339(standing?.since ?? condition.since),
      voterMinutes,
      evidence: condition.evidence,
    },
  }
}

function changed(
  standing: Reason,
  tier: Reason['tier'],
  voterMinutes: number,
  evidence: Condition['evidence'],
  now: Instant,
): boolean {
  if (standing.tier !== tier) return true
  const age = now - standing.figuresAt
  const change = Math.abs(voterMinutes - standing.voterMinutes)
  if (age >= FIGURES_AFTER && change >= MATERIAL_VOTER_MINUTES && change > standing.voterMinutes / 2)
    return true
  return age >= WORDS_AFTER && !sameWords(standing.evidence, evidence)
}

/** Whether what isn't a number is the same: figures move all the time, what is said of them doesn't. */
function sameWords(a: Reason['evidence'], b: Condition['evidence']): boolean {
  for (const name in b) {
    const now = b[name]
    const then = a[name]
    if (typeof now === 'number') continue
    if (Array.isArray(now) && Array.isArray(then)) {
      if (now.length !== then.length || now.some((word, i) => word !== then[i])) return false
    } else if (now !== then) return false
  }
  return true
}
