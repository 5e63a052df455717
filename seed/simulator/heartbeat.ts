import { HOUR, type Instant, toRfc3339 } from '../../server/domain/time.ts'
import type { HeartbeatRequest } from '../../server/protocol/device.ts'
import type { Fact } from './script.ts'

/** What a tablet says is so at an instant: all from its own facts so far, each part as of the fact that said it. */
export type Says = Omit<HeartbeatRequest, 'sentAt'>

export type Tablet = {
  switchedOnAt: Instant
  /** Its battery is empty here; null: it is charged well enough for the day. */
  emptyAt: Instant | null
}

type Part = { is: unknown; asOf: string }

/** Facts in order of time; those after `at` are not yet so. Times in day time, RFC 3339. */
export function heartbeatFrom(facts: readonly Fact[], tablet: Tablet, at: Instant): Says {
  const status: Record<string, Part & { tabulator?: string }> = {
    polls: { is: 'not-open', asOf: toRfc3339(tablet.switchedOnAt) },
  }
  const counts: Record<string, Part> = {}
  const publicCount: Record<string, Part> = {}
  let down: string[] = []
  for (const fact of facts) {
    if (fact.at > at) break
    const asOf = toRfc3339(fact.at)
    const { body } = fact
    switch (fact.kind) {
      case 'PollsOpened':
        status.polls = { is: 'open', asOf }
        break
      case 'PollsClosed':
        status.polls = { is: 'closed', asOf }
        status.returns = { is: 'not-left', asOf }
        break
      case 'OpeningTapeVerified':
      case 'OpeningTapeRejected':
        status.tape = {
          is: fact.kind === 'OpeningTapeVerified' ? 'verified' : 'rejected',
          tabulator: String(body.tabulator),
          asOf,
        }
        break
      case 'EquipmentWentDown':
      case 'EquipmentRestored': {
        const others = down.filter(tag => tag !== body.equipment)
        down = fact.kind === 'EquipmentWentDown' ? [...others, String(body.equipment)] : others
        status.equipmentDown = { is: down, asOf }
        break
      }
      case 'EmergencySlotOpened':
        status.slot = { is: 'open', asOf }
        break
      case 'EmergencySlotLocked':
        status.slot = { is: 'locked', asOf }
        break
      case 'ReturnDeparted':
        status.returns = { is: 'on-its-way', asOf }
        break
      case 'CountsReported':
        for (const [name, value] of Object.entries(body))
          if (typeof value === 'number') counts[name] = { is: value, asOf }
          else
            for (const [tag, n] of Object.entries(value as Record<string, number>))
              publicCount[tag] = { is: n, asOf }
        break
    }
  }
  const hasCounts = Object.keys(counts).length > 0
  return {
    status: status as Says['status'],
    ...(hasCounts ? { counts: { ...counts, publicCount } as Says['counts'] } : {}),
    device: { battery: batteryAt(tablet, at), charging: false },
  }
}

/** Percent: a full tablet loses three an hour; one that dies loses all it has by then. */
function batteryAt(tablet: Tablet, at: Instant): number {
  const hours = Math.max(0, at - tablet.switchedOnAt) / HOUR
  if (tablet.emptyAt === null) return Math.max(30, Math.round(98 - 3 * hours))
  const whole = Math.max(1, tablet.emptyAt - tablet.switchedOnAt)
  return Math.max(1, Math.round(41 * (1 - (hours * HOUR) / whole)))
}
