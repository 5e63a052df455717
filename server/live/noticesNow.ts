import { type BoardNotice, boardNotices, isAddressed } from '../domain/day/notices.ts'
import type { DayState, Notice } from '../domain/day/state.ts'
import type { Stored } from '../domain/log/dayLog.ts'
import { toRfc3339 } from '../domain/time.ts'
import { type DevicePlan, NOTICES, type Notice as NoticeOnWire } from '../protocol/device.ts'

/**
 * Notices of a running day: their words, which the fold doesn't hold, what boards are shown, and what devices have yet
 * to be told. Bounded by the state's own list.
 */
export type NoticesNow = {
  /** An entry was folded in. `late`: it was written before this server ran, so its devices link up anew. */
  folded(stored: Stored, late: boolean): void
  /** As boards are shown them; one that didn't change keeps its identity. */
  list(): BoardNotice[]
  /** The latest to a precinct, oldest first. Those whose words were erased are left out. */
  ofPrecinct(code: string): DevicePlan['notices']
  /** Codes of the precincts that a notice went to; none where the entry is no notice. */
  addressed(position: number): string[]
  /** Notices that were sent since the last call: to whom (null: everybody), and what. */
  takeSent(): Array<{ to: readonly string[] | null; notice: NoticeOnWire }>
}

export function createNoticesNow(state: DayState): NoticesNow {
  const words = new Map<number, string>()
  let sent: number[] = []
  let stale = true
  let list: BoardNotice[] = []

  const onWire = (notice: Notice): NoticeOnWire | null => {
    const text = words.get(notice.position)
    if (text === undefined) return null
    return { id: notice.position, at: toRfc3339(notice.at), text, acknowledge: notice.acknowledge }
  }

  return {
    folded({ entry, detail }, late) {
      if (entry.kind === 'NoticeSent') {
        stale = true
        if (detail?.text !== undefined) words.set(entry.position, detail.text)
        const first = state.notices[0]?.position ?? 0
        for (const position of words.keys()) if (position < first) words.delete(position)
        if (!late) sent.push(entry.position)
      } else if (entry.kind === 'NoticeAcknowledged') stale = true
      else if (entry.kind === 'DetailErased') words.delete(entry.body.position)
    },
    list() {
      if (!stale) return list
      stale = false
      const before = new Map(list.map(notice => [notice.position, notice]))
      list = boardNotices(state).map(made => {
        const there = before.get(made.position)
        return there?.read === made.read ? there : made
      })
      return list
    },
    ofPrecinct(code) {
      const read = state.precincts.get(code)?.noticesRead ?? {}
      return state.notices
        .filter(notice => isAddressed(notice, code))
        .flatMap(notice => {
          const made = onWire(notice)
          return made ? [{ ...made, read: read[notice.position] !== undefined }] : []
        })
        .slice(-NOTICES)
    },
    addressed(position) {
      const notice = state.notices.find(one => one.position === position)
      return notice ? [...state.precincts.keys()].filter(code => isAddressed(notice, code)) : []
    },
    takeSent() {
      const taken = sent
      sent = []
      return state.notices
        .filter(notice => taken.includes(notice.position))
        .flatMap(notice => {
          const made = onWire(notice)
          return made ? [{ to: notice.to, notice: made }] : []
        })
    },
  }
}
