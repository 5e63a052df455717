import type { Entry } from '../log/entry.ts'
import type { PlannedIn } from '../plan/brief.ts'
import { insertStamped, own, put } from './bounded.ts'
import { publicCounted } from './evolveCounts.ts'
import { later, newer, registered } from './stamp.ts'
import { LIMITS, type PrecinctState, type Register } from './state.ts'
import { deriveSteps } from './steps.ts'

type Down = Register<{ down: boolean }>

/** One piece went down or came back. */
export function wentDown(p: PrecinctState, tag: string, write: Down, planned: PlannedIn) {
  p.downSaid = put(p.downSaid, tag, newer(own(p.downSaid, tag) ?? null, write), t => planned.equipment.has(t))
  const { asOf, source, number } = write
  const what = write.is.down ? 'down' : 'back'
  p.changes = insertStamped(p.changes, { what, equipment: tag, asOf, source, number }, LIMITS.changes)
  deriveDown(p)
}

/** The full list of what is down, as of its own instant: what isn't on it works. */
export function downListed(p: PrecinctState, write: Register<readonly string[]>) {
  p.downList = newer(p.downList, write)
  const { is: down, asOf, source, number } = write
  p.changes = insertStamped(p.changes, { what: 'listed', down, asOf, source, number }, LIMITS.changes)
  deriveDown(p)
}

/** Of each piece the later word counts: what was said of it, or the latest full list. */
function deriveDown(p: PrecinctState) {
  const list = p.downList
  if (!list) {
    p.down = p.downSaid
    return
  }
  const { asOf, source, number } = list
  const down: Record<string, Down> = {}
  for (const tag of list.is) down[tag] = { is: { down: true }, asOf, source, number }
  for (const [tag, word] of Object.entries(p.downSaid)) {
    if (later(word, list)) down[tag] = word
    else down[tag] ??= { is: { down: false }, asOf, source, number }
  }
  p.down = down
}

/** The old one is out of use and keeps its last public count; the new one starts at 0. */
export function replaced(p: PrecinctState, entry: Entry<'EquipmentReplaced'>, planned: PlannedIn) {
  const { equipment, by } = entry.body
  const isPlanned = (t: string) => planned.equipment.has(t)
  const standing = own(p.replacements, equipment) ?? null
  p.replacements = put(p.replacements, equipment, newer(standing, registered(entry, by)), isPlanned)
  p.replaced = Object.fromEntries(Object.entries(p.replacements).map(([old, r]) => [old, r.is]))
  wentDown(p, equipment, registered(entry, { down: false }), planned)
  wentDown(p, by, registered(entry, { down: false }), planned)
  const kind = planned.equipment.get(equipment)?.kind
  if (kind === undefined || kind === 'tabulator') publicCounted(p, by, registered(entry, 0), planned)
  deriveSteps(p, planned)
}

/** Since when a piece is down: the first of the last unbroken run of words that said so; null while it works. */
export function downSince(p: PrecinctState, tag: string): number | null {
  const word = own(p.down, tag)
  if (!word?.is.down) return null
  let since = word.asOf
  for (let i = p.changes.length - 1; i >= 0; i--) {
    const change = p.changes[i]!
    const says =
      change.what === 'listed'
        ? change.down!.includes(tag)
        : change.equipment === tag
          ? change.what === 'down'
          : undefined
    if (says === false) break
    if (says) since = change.asOf
  }
  return since
}
