import { insertStamped } from './bounded.ts'
import { earliest, newer } from './stamp.ts'
import { type Change, LIMITS, type Polls, type PrecinctState, type Register } from './state.ts'

type PollsChange = 'not-open' | 'opened' | 'suspended' | 'resumed' | 'closed'
const POLLS: Partial<Record<Change['what'], Polls>> = {
  'not-open': 'not-open',
  opened: 'open',
  resumed: 'open',
  suspended: 'suspended',
  closed: 'closed',
}

/** One register for all that is said of the polls; the opening is the earliest ever said. */
export function polls(p: PrecinctState, write: Register<Polls>, what: PollsChange) {
  p.polls = newer(p.polls, write)
  if (write.is === 'open' && what === 'opened') p.openedAt = earliest(p.openedAt, write.asOf)
  const { asOf, source, number } = write
  p.changes = insertStamped(p.changes, { what, asOf, source, number }, LIMITS.changes)
  p.closedAt = p.polls.is === 'closed' ? pollsSince(p) : null
}

/** Since when the polls are what they are: the first of the last unbroken run of words that said so. */
export function pollsSince(p: PrecinctState): number | null {
  if (!p.polls) return null
  let since = p.polls.asOf
  for (let i = p.changes.length - 1; i >= 0; i--) {
    const change = p.changes[i]!
    const is = POLLS[change.what]
    if (is === undefined) continue
    if (is !== p.polls.is) break
    since = change.asOf
  }
  return since
}
