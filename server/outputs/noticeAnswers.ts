import { BOARD_NOTICES, readBy } from '../domain/day/notices.ts'
import type { DayState, Notice } from '../domain/day/state.ts'
import type { DayLogReader } from '../domain/log/dayLog.ts'
import { toRfc3339 } from '../domain/time.ts'
import type { NoticeAnswer, NoticesAnswer } from '../protocol/notices.ts'

export type NoticedDay = { day: string; state(): DayState }
type Reads = { log: Pick<DayLogReader, 'read'>; nameOf(person: string): string }

/** The latest notices of a day with their words, each read from the log by its position. */
export async function noticesAnswer(day: NoticedDay, reads: Reads): Promise<NoticesAnswer> {
  const latest = day.state().notices.slice(-BOARD_NOTICES).reverse()
  return { notices: await Promise.all(latest.map(notice => onWire(notice, day, reads))) }
}

/** One notice, and by whom it was read. null: there is none at that position. */
export async function noticeAnswer(
  day: NoticedDay,
  reads: Reads,
  position: number,
): Promise<NoticeAnswer | null> {
  const notice = day.state().notices.find(one => one.position === position)
  if (!notice) return null
  const { read, unread } = readBy(notice, day.state())
  return {
    ...(await onWire(notice, day, reads)),
    readBy: read.map(({ precinct, at }) => ({ precinct, at: toRfc3339(at) })),
    unread,
  }
}

async function onWire(notice: Notice, { day, state }: NoticedDay, { log, nameOf }: Reads) {
  const { read, unread } = readBy(notice, state())
  const [stored] = await log.read(day, notice.position - 1, 1)
  return {
    position: notice.position,
    at: toRfc3339(notice.at),
    by: nameOf(notice.by),
    to: notice.to === null ? null : [...notice.to],
    text: stored?.detail?.text ?? null,
    acknowledge: notice.acknowledge,
    of: read.length + unread.length,
    read: read.length,
  }
}
