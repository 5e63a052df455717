import type { Entry } from '../log/entry.ts'
import type { CountName } from '../log/fields.ts'
import type { PlanIndex, PlannedIn } from '../plan/brief.ts'
import { fromRfc3339 } from '../time.ts'
import { departed } from './evolveClosing.ts'
import { countedAll, publicCounted } from './evolveCounts.ts'
import { downListed } from './evolveEquipment.ts'
import { tapeRejected, tapeVerified } from './evolveOpening.ts'
import { polls } from './evolvePolls.ts'
import { slot } from './evolveSlot.ts'
import { registered } from './stamp.ts'
import type { PrecinctState, Register } from './state.ts'
import { deriveSteps } from './steps.ts'

const POLLS = { 'not-open': 'not-open', open: 'opened', suspended: 'suspended', closed: 'closed' } as const

/** What is so, each part as of its own instant: a heartbeat never freshens what it repeats. */
export function heartbeat(
  p: PrecinctState,
  entry: Entry<'HeartbeatReceived'>,
  planned: PlannedIn,
  index: PlanIndex,
) {
  const { status, counts } = entry.body
  if (status) {
    const at = (part: { asOf: string }) => fromRfc3339(part.asOf)
    const { tape, equipmentDown, returns } = status
    if (status.polls) {
      polls(p, registered(entry, status.polls.is, at(status.polls)), POLLS[status.polls.is])
      deriveSteps(p, planned)
    }
    if (status.slot) slot(p, registered(entry, status.slot.is, at(status.slot)))
    if (equipmentDown) downListed(p, registered(entry, equipmentDown.is, at(equipmentDown)))
    if (tape?.is === 'verified')
      tapeVerified(p, tape.tabulator, registered(entry, 'verified', at(tape)), planned)
    if (tape?.is === 'rejected') tapeRejected(p, tape.tabulator, registered(entry, [], at(tape)), planned)
    if (returns?.is === 'on-its-way')
      departed(p, registered(entry, { items: [], seals: [], carriers: null }, at(returns)))
  }
  if (counts) {
    const { publicCount, ...plain } = counts
    const writes: Partial<Record<CountName, Register<number>>> = {}
    for (const name in plain) {
      const count = plain[name as CountName]
      if (count) writes[name as CountName] = registered(entry, count.is, fromRfc3339(count.asOf))
    }
    countedAll(p, writes, index)
    for (const tag in publicCount) {
      const count = publicCount[tag]!
      publicCounted(p, tag, registered(entry, count.is, fromRfc3339(count.asOf)), planned)
    }
  }
}
