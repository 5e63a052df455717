import type { Reason } from '../day/state.ts'
import type { Draft } from '../log/entry.ts'
import { kinds } from '../log/kinds.ts'
import type { PlanIndex } from '../plan/brief.ts'
import type { RuleName } from '../plan/policy.ts'
import type { Instant } from '../time.ts'
import { MINUTE, toRfc3339 } from '../time.ts'
import type { Condition } from './condition.ts'

/** Figures are written again when they changed by more than a quarter and by at least this many voter-minutes … */
const MATERIAL_VOTER_MINUTES = 60
/** … and no sooner than this after they were last written. */
const FIGURES_AFTER = 5 * MINUTE
/** A card never shows figures older than this where there are newer ones: a line that grows slowly, too. */
const REFRESHED_AFTER = 15 * MINUTE
/** What the words say (slot open, which step, what about) is written again no sooner than this. */
const WORDS_AFTER = MINUTE

/** The entry that raises a reason, or writes a standing one anew; null where there is nothing to say (yet). */
export function raise(
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
  if (age >= FIGURES_AFTER && change >= MATERIAL_VOTER_MINUTES && change > standing.voterMinutes / 4)
    return true
  if (age >= REFRESHED_AFTER && !sameNumbers(standing.evidence, evidence)) return true
  return age >= WORDS_AFTER && !sameWords(standing.evidence, evidence)
}

function sameNumbers(a: Reason['evidence'], b: Condition['evidence']): boolean {
  for (const name in b) if (typeof b[name] === 'number' && b[name] !== a[name]) return false
  return true
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
