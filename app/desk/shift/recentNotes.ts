import type { EntryOnWire } from '../../../server/protocol/board.ts'

/** Reads a page of the log: entries after a position, ascending. */
export type ReadLog = (after: number, limit: number) => Promise<EntryOnWire[]>

const PAGE = 1_000
/** So many pages are looked through, at most; beyond that the sheet says how far back it went. */
const PAGES = 20

export type RecentNotes = {
  notes: EntryOnWire[]
  /** Recorded time of the earliest entry that was looked at, where that is later than asked for; null: all of it. */
  onlySince: number | null
}

/** What people wrote since an instant, latest first: notes, and the words of calls that ended or were put off. */
export async function recentNotes(read: ReadLog, head: number, since: number): Promise<RecentNotes> {
  const notes: EntryOnWire[] = []
  let before = head
  for (let page = 0; before > 0; page++) {
    const after = Math.max(0, before - PAGE)
    const entries = (await read(after, before - after)).filter(e => e.position <= before)
    const first = entries[0]
    if (!first) break
    for (const entry of entries.reverse())
      if (isNote(entry) && Date.parse(entry.recordedAt) >= since) notes.push(entry)
    const earliest = Date.parse(first.recordedAt)
    if (earliest < since) break
    if (page + 1 === PAGES && after > 0) return { notes, onlySince: earliest }
    before = after
  }
  return { notes, onlySince: null }
}

function isNote(entry: EntryOnWire): boolean {
  if (entry.kind === 'NoteAdded') return true
  return (entry.kind === 'CallLogged' || entry.kind === 'CallDeferred') && entry.detail?.note !== undefined
}
