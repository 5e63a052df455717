import type { Reason } from '../day/state.ts'
import type { Draft } from '../log/entry.ts'
import { kinds } from '../log/kinds.ts'
import type { PlanIndex } from '../plan/brief.ts'
import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'

/** What verdicts remember outside the log: since when a condition has been gone, or has been so in its delay. */

type Since = ReadonlyMap<string, Instant>
/** By key. */
export type PendingOf = { readonly gone: Since; readonly delayed: Since }
/** By precinct; empty text: the county. */
export type Memory = Map<string, PendingOf>

export const NONE: Since = new Map()

/** Since when a standing reason has been gone; its end is drafted once the hold is over. */
export function judgeGone(
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
