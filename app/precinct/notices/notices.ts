import type { DevicePlan } from '../../../server/protocol/device.ts'

export type NoticeNow = DevicePlan['notices'][number]

/**
 * Today's notices, latest first, each with whether it still stands in front: until it was read where the office asks
 * for that, by this tablet or another one of the precinct; else until it was closed here.
 */
export function noticesNow(
  plan: DevicePlan,
  read: ReadonlySet<number>,
  closed: ReadonlySet<number>,
): Array<NoticeNow & { fresh: boolean }> {
  return [...plan.notices]
    .sort((a, b) => b.id - a.id)
    .map(notice => {
      const isRead = notice.read || read.has(notice.id)
      return { ...notice, read: isRead, fresh: !isRead && (notice.acknowledge || !closed.has(notice.id)) }
    })
}
