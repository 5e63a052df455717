import { fromRfc3339, type Instant, MINUTE } from '../../server/domain/time.ts'
import type { DevicePlan } from '../../server/protocol/device.ts'
import type { PageState } from './pageState.ts'
import { slotHolds } from './slotNow.ts'

export type Times = {
  now: Instant
  time(at: Instant): string
  /** Day time of a moment by this device's clock (RFC 3339). */
  dayOf(at: string): Instant
}

type At = Pick<Times, 'now' | 'dayOf'>

/** When the voters were counted last, by this device or by another way; null: never. */
export function countedLast(plan: DevicePlan, page: PageState, { dayOf }: At): Instant | null {
  const here = page.countedAt === null ? 0 : dayOf(page.countedAt)
  const there = plan.has.countedAt === null ? 0 : fromRfc3339(plan.has.countedAt)
  return Math.max(here, there) || null
}

/** Since when a count is due; null: none is. A late opening doesn't move the first one. */
export function countDue(plan: DevicePlan, page: PageState, at: At): Instant | null {
  if (page.polls !== 'open') return null
  const due = (countedLast(plan, page, at) ?? fromRfc3339(plan.opensAt)) + plan.countEveryMinutes * MINUTE
  return at.now > due ? due : null
}

/**
 * The last time at which the slot was to be thought of again: every `slotReminderMinutes` since it was spoken of here,
 * for as long as ballots lie in it or may; null: not yet, or never.
 */
export function slotReminder(plan: DevicePlan, page: PageState, { now, dayOf }: At): Instant | null {
  const every = plan.page.slotReminderMinutes * MINUTE
  if (every <= 0 || !slotHolds(plan, page) || page.departed) return null
  const since = page.slotAt === null ? fromRfc3339(plan.opensAt) : dayOf(page.slotAt)
  const times = Math.floor((now - since) / every)
  return times >= 1 ? since + times * every : null
}
