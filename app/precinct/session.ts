import type { PrecinctKind } from '../../server/domain/log/kinds.ts'
import { fromRfc3339, type Instant } from '../../server/domain/time.ts'
import { clockWords } from '../live/clock.ts'
import { dayTimeAt } from '../live/deviceClock.ts'
import type { DeviceLinkState } from '../live/deviceLink.ts'
import type { OutboxState, SayOutcome } from '../live/outbox.ts'
import type { KeptReport, ReportName } from '../live/outboxStore.ts'

/** What the screens of an enrolled device work with: its line, its outbox, and the three things they may do. */
export type Session = {
  link: DeviceLinkState
  box: OutboxState
  /** This browser keeps nothing over a reload. */
  unsafe: boolean
  /** Wall time in ms, moved on once a second. */
  wall: number
  say(kind: PrecinctKind, body: Record<string, unknown>): Promise<SayOutcome>
  mend(of: KeptReport, kind: PrecinctKind, body: Record<string, unknown>): Promise<SayOutcome>
  leave(of: ReportName): Promise<void>
}

/** Day time now; null: the office was never heard. */
export function dayNowOf({ link, wall }: Pick<Session, 'link' | 'wall'>): Instant | null {
  return link.clock && dayTimeAt(link.clock, wall)
}

/** Day time of a moment by this device's clock; the moment itself where the office was never heard. */
export function dayTimeOf(link: DeviceLinkState, at: string): Instant {
  const wall = fromRfc3339(at)
  return link.clock ? dayTimeAt(link.clock, wall) : wall
}

/** County time as H:MM, without a leading zero; the browser's own zone until the plan is there. */
export function timeWords(link: DeviceLinkState, at: Instant): string {
  const zone = link.plan?.timeZone ?? Intl.DateTimeFormat().resolvedOptions().timeZone
  return clockWords(at, zone).replace(/^0(?=\d)/, '')
}
