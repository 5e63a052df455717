import type { Reason } from '../day/state.ts'
import type { Draft } from '../log/entry.ts'
import { kinds } from '../log/kinds.ts'
import type { PlanIndex } from '../plan/brief.ts'
import type { RuleName } from '../plan/policy.ts'
import type { Instant } from '../time.ts'
import { MINUTE, toRfc3339 } from '../time.ts'
import { recordedMinutes, riskEvidence } from './atRisk.ts'
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
  const voterMinutes = recordedMinutes(condition.risk)
  const evidence = { ...condition.evidence, ...riskEvidence(condition.risk) }
  let occurredAt = now
  if (!standing) {
    occurredAt = Math.max(condition.since + delayMinutes * MINUTE, condition.notBefore ?? 0)
    if (occurredAt > now) return null
  } else if (!changed(standing, tier, voterMinutes, evidence, now)) return null
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
      evidence,
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
  if (
    age >= REFRESHED_AFTER &&
    (!sameNumbers(standing.evidence, evidence) || riskIsOver(standing, evidence, now))
  )
    return true
  if (age >= FIGURES_AFTER && !sameWords(standing.evidence, evidence, () => true)) return true
  return age >= WORDS_AFTER && !sameWords(standing.evidence, evidence, name => !FORECAST_WORDS.has(name))
}

/** What a forecast names may change with every one of them: it waits as long as its figures do. */
const FORECAST_WORDS: ReadonlySet<string> = new Set(['bottleneck', 'style'])
/** What the voter-minutes are made of moves with the clock: it goes with them, or when its stretch of time is over. */
const ofRisk = (name: string) => name.startsWith('risk')

function riskIsOver(
  { evidence: { riskUntilAt } }: Reason,
  evidence: Condition['evidence'],
  now: Instant,
): boolean {
  return typeof riskUntilAt === 'number' && now >= riskUntilAt && evidence.riskUntilAt !== riskUntilAt
}

function sameNumbers(a: Reason['evidence'], b: Condition['evidence']): boolean {
  for (const name in b) if (typeof b[name] === 'number' && b[name] !== a[name] && !ofRisk(name)) return false
  return true
}

/** Whether what isn't a number is the same: figures move all the time, what is said of them doesn't. */
function sameWords(
  a: Reason['evidence'],
  b: Condition['evidence'],
  looksAt: (name: string) => boolean,
): boolean {
  for (const name in b) {
    const now = b[name]
    const then = a[name]
    if (typeof now === 'number' || !looksAt(name)) continue
    if (Array.isArray(now) && Array.isArray(then)) {
      if (now.length !== then.length || now.some((word, i) => word !== then[i])) return false
    } else if (now !== then) return false
  }
  return true
}
