import type { PlanIndex } from '../plan/brief.ts'
import type { PrecinctState, Standing } from './state.ts'

/**
 * Where a precinct is. The first line that holds, from below:
 *
 * | standing | holds when |
 * |---|---|
 * | not-heard | nothing was heard of it, by any way |
 * | setting-up | it was heard |
 * | ready | every opening step that applies to it is done |
 * | open | the polls are open, also while they are suspended |
 * | closing | the polls are closed |
 * | closed | the polls are closed and every closing step is done |
 * | returning | the return departed |
 * | received | the return was received |
 */
export function standingOf(p: PrecinctState, index: PlanIndex): Standing {
  if (p.received) return 'received'
  if (p.departed) return 'returning'
  const planned = index.precincts.get(p.code)
  const done = (steps: readonly { code: string }[] = []) => steps.every(s => Object.hasOwn(p.steps, s.code))
  if (p.polls?.is === 'closed') return done(planned?.closing) ? 'closed' : 'closing'
  if (p.polls?.is === 'open' || p.polls?.is === 'suspended') return 'open'
  if (p.heardAt === null) return 'not-heard'
  return done(planned?.opening) ? 'ready' : 'setting-up'
}

/**
 * Ballots in the emergency slot: the latest count of the slot less what was taken out since (fed, counted by
 * hand, handed over), never below 0; null while nobody counted it.
 */
export function outstandingInSlot(p: PrecinctState): number | null {
  const count = p.counts.inSlot
  if (!count) return null
  let taken = 0
  for (const feed of p.feeds) taken += feed.taken
  return Math.max(0, count.is - taken)
}
