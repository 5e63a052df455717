import type { DayState } from '../day/state.ts'
import type { PlanIndex } from '../plan/brief.ts'
import type { Instant } from '../time.ts'
import { MINUTE, SECOND } from '../time.ts'

/** Forecasts are made once a minute of the day … */
const EVERY = MINUTE
/** … and sooner where something material was said, but no sooner than this. */
const SOONEST = 15 * SECOND
/** Before the teams are due there is nothing to forecast from. */
const BEFORE_REPORTING = 10 * MINUTE

/**
 * Whether forecasts are to be made now: from shortly before reporting time until every precinct has closed, at the
 * latest until returns are due.
 * @param material something was said since the last ones that moves them (isMaterial)
 */
export function forecastDue(state: DayState, index: PlanIndex, now: Instant, material: boolean): boolean {
  const { reportAt, returnBy } = index.brief
  if (state.closed || now < reportAt - BEFORE_REPORTING || now > returnBy) return false
  const since = state.forecastBase === null ? Number.POSITIVE_INFINITY : now - state.forecastBase.at
  if (since < (material ? SOONEST : EVERY)) return false
  for (const p of state.precincts.values()) if (p.polls?.is !== 'closed') return true
  // Once more after the last has closed, so that what stands says so.
  const { forecastBase } = state
  if (forecastBase === null) return false
  for (const p of forecastBase.precincts.values()) if (p.polls?.is !== 'closed') return true
  return false
}

const MATERIAL: ReadonlySet<string> = new Set([
  'LineReported',
  'PollsOpened',
  'PollsSuspended',
  'PollsResumed',
  'EquipmentWentDown',
  'EquipmentRestored',
  'EquipmentReplaced',
  'EmergencySlotOpened',
  'EmergencySlotLocked',
])

/** Kinds of entries after which a forecast is not left to the next minute. */
export function isMaterial(kind: string): boolean {
  return MATERIAL.has(kind)
}
