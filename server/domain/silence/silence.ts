import type { PrecinctState } from '../day/state.ts'
import type { PlanIndex } from '../plan/brief.ts'
import type { Instant } from '../time.ts'
import { HOUR, SECOND } from '../time.ts'

/**
 * Silence is about what the office heard, never about what a device says of itself. The instant at which a
 * precinct falls late or silent is predicted from the last hearing and policy; whoever notices, and when,
 * changes nothing (P6).
 *
 * It applies to precincts with a device that was heard today, until the polls are closed or the return has
 * left: what a precinct without any device says comes by telephone, and one on its way has packed its tablet.
 */

/** A device heard earlier than this before reporting time was tried out, not at work: the day has not begun. */
const EARLIEST_BEFORE_REPORTING = 2 * HOUR

/** When the office last heard a precinct on this day, by any way; null: never. */
export function heardToday(p: PrecinctState, index: PlanIndex): Instant | null {
  const tooEarly = p.heardAt === null || p.heardAt < index.brief.reportAt - EARLIEST_BEFORE_REPORTING
  return tooEarly ? null : p.heardAt
}

/** Whether silence is asked of this precinct at all. */
export function silenceApplies(p: PrecinctState): boolean {
  return p.device !== null && p.polls?.is !== 'closed' && p.departed === null && p.received === null
}

/**
 * The instant at which a precinct falls silent unless it is heard before; null where silence doesn't apply.
 * Never before reporting time, and never before the grace that follows an outage of our own.
 */
export function silentAt(p: PrecinctState, index: PlanIndex, graceUntil: Instant): Instant | null {
  return unheardFor(p, index, graceUntil, index.plan.policy.heartbeat.silentAfterSeconds)
}

/** The instant at which a precinct is late: heartbeats are missing, but not for long enough to be silent. */
export function lateAt(p: PrecinctState, index: PlanIndex, graceUntil: Instant): Instant | null {
  return unheardFor(p, index, graceUntil, index.plan.policy.heartbeat.lateAfterSeconds)
}

/** The instant at which so many seconds without hearing are over, by the same rules as silentAt. */
export function unheardFor(
  p: PrecinctState,
  index: PlanIndex,
  graceUntil: Instant,
  seconds: number,
): Instant | null {
  if (!silenceApplies(p)) return null
  const heard = heardToday(p, index)
  return heard === null ? null : Math.max(heard + seconds * SECOND, graceUntil, index.brief.reportAt)
}

/** How a precinct stands with silence at an instant, for whoever draws it between two entries. */
export function freshness(
  p: PrecinctState,
  index: PlanIndex,
  graceUntil: Instant,
  now: Instant,
): 'never' | 'fresh' | 'late' | 'silent' {
  if (heardToday(p, index) === null) return 'never'
  const silent = silentAt(p, index, graceUntil)
  const late = lateAt(p, index, graceUntil)
  if (silent !== null && now >= silent) return 'silent'
  return late !== null && now >= late ? 'late' : 'fresh'
}
