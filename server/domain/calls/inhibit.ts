import type { PrecinctState } from '../day/state.ts'
import type { PlanIndex } from '../plan/brief.ts'
import type { RuleName } from '../plan/policy.ts'
import { lateAt, silenceApplies, silentAt } from '../silence/silence.ts'
import type { Instant } from '../time.ts'

/**
 * A cause silences its consequences.
 *
 * - Closed polls leave only what still matters: seals, help asked for, another place, what is kept aside,
 *   reconciling, the return. The rest ends.
 * - A silent precinct: what rests on figures and steps that nobody has freshened is held as it is, neither
 *   raised nor ended, since nothing is known to have got better.
 * - Our own link broken: for precincts that aren't heard, whatever rests on hearing nothing is held too.
 * - Not open at the legal hour ends "behind on opening", and a line that is long ends that it is growing: the same
 *   matter, grown.
 * - Without a forecast of the last minutes, what stands on one is held by its rule (condition.ts: `held`).
 */
const AFTER_CLOSING: ReadonlySet<RuleName> = new Set([
  'seal-different',
  'help-asked',
  'place-moved',
  'kept-aside',
  'return-overdue',
  'return-different',
  'not-closed',
  'not-reconciled',
])
const STALE_WHILE_SILENT: ReadonlySet<RuleName> = new Set([
  'behind-on-opening',
  'count-missing',
  'long-line',
  'line-growing',
  'count-doubtful',
  'counts-apart',
  'ballots-low',
  'slot-forgotten',
])
const STANDS_ON_HEARING_NOTHING: ReadonlySet<RuleName> = new Set([
  ...STALE_WHILE_SILENT,
  'not-heard',
  'not-open',
  'silent',
  'not-closed',
  'return-overdue',
])

const SUPERSEDED: Partial<Record<RuleName, RuleName>> = {
  'behind-on-opening': 'not-open',
  'line-growing': 'long-line',
}

const NONE: ReadonlySet<RuleName> = new Set()

/** Rules whose reasons are held as they are for this precinct now. */
export function heldRules(
  p: PrecinctState,
  index: PlanIndex,
  graceUntil: Instant,
  now: Instant,
  ownLinkBroken: boolean,
): ReadonlySet<RuleName> {
  if (ownLinkBroken && silenceApplies(p)) {
    const late = lateAt(p, index, graceUntil)
    if (late === null || now >= late || p.silentSince !== null) return STANDS_ON_HEARING_NOTHING
  }
  // Recorded as silent it stays so until it is heard: what is held isn't let go by a new grace.
  const silent = silentAt(p, index, p.silentSince !== null ? 0 : graceUntil)
  return silent !== null && now >= silent ? STALE_WHILE_SILENT : NONE
}

/** Whether a rule has nothing more to say of a precinct: its polls are closed. */
export function overForGood(p: PrecinctState, rule: RuleName): boolean {
  const closed = p.polls?.is === 'closed' || p.departed !== null || p.received !== null
  return closed && !AFTER_CLOSING.has(rule)
}

/** The rule whose reason ends this one's. */
export function supersededBy(rule: RuleName): RuleName | undefined {
  return SUPERSEDED[rule]
}
