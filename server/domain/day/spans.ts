import type { PlannedIn } from '../plan/brief.ts'
import type { Instant } from '../time.ts'
import { own } from './bounded.ts'
import type { Span } from './row.ts'
import type { Change, PrecinctState } from './state.ts'

/**
 * The stretches of a day strip: a tabulator down, the slot open, polls suspended, nothing heard. Several
 * tabulators down at once are one stretch. Said twice is said once; `to` is null while it lasts.
 */
export function spansOf(p: PrecinctState, planned: PlannedIn): Span[] {
  const spans: Span[] = []
  const downs = stretches(p.changes, downReader(p, planned))
  for (const [from, to] of downs) spans.push({ what: 'down', from, to })
  for (const [from, to] of stretches(p.changes, slotOpen)) spans.push({ what: 'slot', from, to })
  for (const [from, to] of stretches(p.changes, suspended)) spans.push({ what: 'suspended', from, to })
  for (const { from, to } of p.silences) spans.push({ what: 'silent', from, to })
  return spans.sort((a, b) => a.from - b.from)
}

/** What a change says of one matter: it is so, it isn't, or nothing. */
type Reader = (change: Change) => boolean | undefined

function stretches(changes: readonly Change[], read: Reader): Array<[Instant, Instant | null]> {
  const found: Array<[Instant, Instant | null]> = []
  let from: Instant | null = null
  for (const change of changes) {
    const is = read(change)
    if (is === true && from === null) from = change.asOf
    else if (is === false && from !== null) {
      if (change.asOf > from) found.push([from, change.asOf])
      from = null
    }
  }
  if (from !== null) found.push([from, null])
  return found
}

const slotOpen: Reader = ({ what }) =>
  what === 'slot-opened' ? true : what === 'slot-locked' ? false : undefined

const suspended: Reader = ({ what }) =>
  what === 'suspended'
    ? true
    : what === 'resumed' || what === 'opened' || what === 'closed' || what === 'not-open'
      ? false
      : undefined

/** Whether any tabulator is down, following each through the changes. */
function downReader(p: PrecinctState, planned: PlannedIn): Reader {
  const replacements = new Set(Object.values(p.replaced))
  const isTabulator = (tag: string) => {
    const kind = planned.equipment.get(tag)?.kind
    return (
      kind === 'tabulator' ||
      (kind === undefined && replacements.has(tag) && own(p.publicCounts, tag) !== undefined)
    )
  }
  const down = new Set<string>()
  return change => {
    if (change.what === 'listed') {
      down.clear()
      for (const tag of change.down ?? []) if (isTabulator(tag)) down.add(tag)
    } else if (change.equipment !== undefined && isTabulator(change.equipment)) {
      if (change.what === 'down') down.add(change.equipment)
      else down.delete(change.equipment)
    } else return undefined
    return down.size > 0
  }
}
