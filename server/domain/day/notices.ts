import type { Entry } from '../log/entry.ts'
import type { Instant } from '../time.ts'
import { earliest } from './stamp.ts'
import { type DayState, LIMITS, type Notice, type PrecinctState } from './state.ts'

/** Notices of the desk to some or all precincts, and where they were read. */

export function noticeSent(state: DayState, entry: Entry<'NoticeSent'>) {
  const notice: Notice = {
    position: entry.position,
    at: entry.occurredAt,
    by: entry.origin.wrote ?? entry.source,
    to: entry.body.to ?? null,
    acknowledge: entry.body.acknowledge,
  }
  state.notices = [...state.notices, notice].slice(-LIMITS.notices)
}

/** Earliest said; of more numbers than a day keeps notices the highest stay, whatever came first. */
export function noticeRead(p: PrecinctState, notice: number, at: Instant) {
  const read: Record<number, Instant> = { ...p.noticesRead, [notice]: earliest(p.noticesRead[notice], at) }
  const numbers = Object.keys(read)
  // Whole numbers are an object's keys in ascending order.
  for (const first of numbers.slice(0, Math.max(0, numbers.length - LIMITS.notices)))
    delete read[Number(first)]
  p.noticesRead = read
}

export function isAddressed(notice: Pick<Notice, 'to'>, precinct: string): boolean {
  return notice.to === null || notice.to.includes(precinct)
}

/** How far a notice is read: among those it went to, each by when it was first said, in the plan's order. */
export function readBy(
  notice: Notice,
  state: Pick<DayState, 'precincts'>,
): { read: Array<{ precinct: string; at: Instant }>; unread: string[] } {
  const to = notice.to === null ? null : new Set(notice.to)
  const read: Array<{ precinct: string; at: Instant }> = []
  const unread: string[] = []
  for (const p of state.precincts.values()) {
    if (to !== null && !to.has(p.code)) continue
    const at = p.noticesRead[notice.position]
    if (at === undefined) unread.push(p.code)
    else read.push({ precinct: p.code, at })
  }
  return { read, unread }
}

/** A notice on a board: how many it went to and how many said that they read it. Its words are asked for. */
export type BoardNotice = {
  position: number
  at: Instant
  by: string
  toAll: boolean
  acknowledge: boolean
  of: number
  read: number
}

/** Notices that a board shows: the latest of a day, oldest first. */
export const BOARD_NOTICES = 100

export function boardNotices(state: Pick<DayState, 'notices' | 'precincts'>): BoardNotice[] {
  return state.notices.slice(-BOARD_NOTICES).map(notice => {
    const { read, unread } = readBy(notice, state)
    const { position, at, by, to, acknowledge } = notice
    return {
      position,
      at,
      by,
      toAll: to === null,
      acknowledge,
      of: read.length + unread.length,
      read: read.length,
    }
  })
}

/** Notices that changed, laid over those that were there; the latest stay. */
export function joinNotices(before: readonly BoardNotice[], changed: readonly BoardNotice[]): BoardNotice[] {
  const all = new Map(before.map(notice => [notice.position, notice]))
  for (const notice of changed) all.set(notice.position, notice)
  return [...all.values()].sort((a, b) => a.position - b.position).slice(-BOARD_NOTICES)
}
