import type { Entry } from '../log/entry.ts'
import { insertStamped } from './bounded.ts'
import { later, newer } from './stamp.ts'
import { LIMITS, type PrecinctState, type Register, type SlotFeed } from './state.ts'

export function slot(p: PrecinctState, write: Register<'open' | 'locked'>) {
  p.slot = newer(p.slot, write)
  const { asOf, source, number } = write
  const what = write.is === 'open' ? 'slot-opened' : 'slot-locked'
  p.changes = insertStamped(p.changes, { what, asOf, source, number }, LIMITS.changes)
}

/** Ballots taken out: fed, counted by hand or handed over with a note. A count of the slot made later says it all. */
export function slotFed(p: PrecinctState, entry: Entry<'SlotBallotsFed'>) {
  const { fed, handCounted, handedOver } = entry.body
  const stamp = { asOf: entry.occurredAt, source: entry.source, number: entry.number }
  const howMany = handCounted + handedOver
  if (howMany > 0) p.setAside = insertStamped(p.setAside, { howMany, ...stamp }, LIMITS.feeds)
  const feed: SlotFeed = { taken: fed + howMany, ...stamp }
  if (p.counts.inSlot && later(p.counts.inSlot, feed)) return
  p.feeds = insertStamped(p.feeds, feed, LIMITS.feeds)
}

/** Forgets the feeds that a newer count of the slot has seen. */
export function feedsAfterCount(p: PrecinctState) {
  const count = p.counts.inSlot
  if (count && p.feeds.length > 0) p.feeds = p.feeds.filter(feed => !later(count, feed))
}
